// Where numbers are written with a comma: all that the program prints and reads is as it is elsewhere.
#include <fmt/format.h>
#include <stdlib.h>

#include <clocale>
#include <locale>
#include <string>
#include <string_view>
#include <vector>

#include "engine/api/gearwhy.h"
#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

const std::string kHot = GEARWHY_SOURCE_DIR "/cases/no-reverse-when-hot.yaml";
const std::string kBand = GEARWHY_SOURCE_DIR "/cases/band-close-to-its-limit-by-caliper.yaml";

// The locale, made for this test; gone with it.
class CommaLocale {
 public:
  CommaLocale() {
    RunCommand("localedef -i de_DE -f UTF-8 '" + folder_.Path("de_DE.UTF-8") + "'");
    REQUIRE(RunCommand(Environment() + "locale decimal_point").out == ",\n");
  }
  // To go before a command.
  std::string Environment() const { return "LOCPATH='" + Path() + "' LC_ALL=de_DE.UTF-8 "; }
  std::string Path() const { return folder_.path().string(); }

 private:
  TemporaryFolder folder_;
};

TEST_CASE("a decimal comma changes nothing that is printed or read") {
  if (!HasPrograms({"localedef", "locale"})) return;
  const CommaLocale locale;
  const std::string there = locale.Environment();
  for (const std::string& arguments : std::vector<std::string>{
           "rank " + kHot + " --details", "rank " + kHot + " --format json", "why " + kHot,
           "next " + kHot + " --format json", "bench " + kBand, "bench " + kBand + " --format json",
           "bench " + kBand + " --format csv", "sheet " + kBand, "why " + kHot + " --network",
           "unit show lepelletier-six-speed", "unit show lepelletier-six-speed --format json", "rules schema",
           "rules show lip_cracked"}) {
    const std::string command = fmt::format("'{}' {} 2>&1", GEARWHY_PROGRAM, arguments);
    INFO(command);
    const Ran plain = RunCommand(command), comma = RunCommand(there + command);
    CHECK(plain.exit_code == 0);
    CHECK(plain.out.find_first_of("0123456789") != std::string::npos);
    CHECK(comma.exit_code == 0);
    CHECK(comma.out == plain.out);
  }
}

TEST_CASE("a decimal comma changes nothing that is answered, measured and kept") {
  if (!HasPrograms({"localedef", "locale"})) return;
  const CommaLocale locale;
  const std::string there = locale.Environment();
  const std::string golden = GEARWHY_SOURCE_DIR "/tests/cli/golden/ask-measure";
  const auto ask = [&](const std::string& environment) {
    const TemporaryFolder work;
    const Ran ran = RunCommand("cp -r '" + golden + "'/* '" + work.path().string() + "' && cd '" +
                               work.path().string() + "' && " + environment +
                               "xargs -a arguments -d '\\n' '" GEARWHY_PROGRAM "' <input 2>&1; cat *.yaml");
    return ran.out;
  };
  const std::string plain = ask("");
  CHECK(plain.find("is:") != std::string::npos);
  CHECK(ask(there) == plain);
}

// All that a program gets that has the engine inside, and with it what is read of quantities.
std::string AllOf(const std::string& path, const std::string& event) {
  const auto book = api::Book::Open({GEARWHY_SOURCE_DIR "/rules"});
  REQUIRE(book);
  const auto c = book->ReadCase(ReadAll(path), "");
  REQUIRE(c);
  const auto diagnosis = book->Diagnose(*c);
  REQUIRE(diagnosis);
  std::string all =
      diagnosis->RankText() + diagnosis->RankJson() + diagnosis->NextText() + diagnosis->NextJson();
  if (const auto why = diagnosis->WhyText(event)) all += *why + *diagnosis->WhyJson(event);
  return all;
}

TEST_CASE("a program that has set a decimal comma for itself gets the same of the engine inside it") {
  if (!HasPrograms({"localedef", "locale"})) return;
  const CommaLocale locale;
  const std::string plain = AllOf(kHot, "lip_cracked:E.piston") + AllOf(kBand, "");
  const std::locale before;
  REQUIRE(::setenv("LOCPATH", locale.Path().c_str(), 1) == 0);
  std::locale::global(std::locale("de_DE.UTF-8"));  // also the C library's
  const bool is_set = std::string_view(std::localeconv()->decimal_point) == ",";
  const std::string comma = AllOf(kHot, "lip_cracked:E.piston") + AllOf(kBand, "");
  std::locale::global(before);
  ::unsetenv("LOCPATH");
  CHECK(is_set);
  CHECK(comma == plain);
}

}  // namespace
}  // namespace gearwhy
