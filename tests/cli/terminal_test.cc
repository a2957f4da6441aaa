// What leaves for the terminal: bold and dim text where it is wanted, ASCII alone where the locale has no
// more, the version and the hash of the rulebook, and help where nothing is asked.
//
// Sources: no-color.org and bixense.com/clicolors (both from memory) on NO_COLOR, CLICOLOR and CLICOLOR_FORCE;
// `script` of util-linux for a terminal; sha256sum and GNU find for the hash.
#include <fmt/format.h>

#include <algorithm>
#include <sstream>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

// Quickly answered, with a heading, a bar and × in it.
constexpr const char* kRank =
    "rank '" GEARWHY_SOURCE_DIR "/tests/cli/golden/fever-rank/patient.yaml' --rules '" GEARWHY_SOURCE_DIR
    "/tests/cli/golden/fever-rank/book'";

std::string Piped(const std::string& environment, const std::string& arguments) {
  const Ran ran = RunCommand(fmt::format("{} '{}' {} 2>&1", environment, GEARWHY_PROGRAM, arguments));
  CHECK(ran.exit_code == 0);
  return ran.out;
}

std::string AtTerminal(const std::string& environment, const std::string& arguments) {
  const TemporaryFolder folder;
  folder.Write("command", fmt::format("env {} '{}' {}\n", environment, GEARWHY_PROGRAM, arguments));
  return RunCommand(fmt::format("script -qec \"sh '{}'\" /dev/null </dev/null", folder.Path("command"))).out;
}

bool HasEmphasis(const std::string& text) { return text.find('\x1b') != std::string::npos; }

bool IsAscii(const std::string& text) {
  return std::all_of(text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

// Without the codes of bold, dim and plain (ECMA-48, SGR).
std::string WithoutEmphasis(std::string text) {
  for (const char* code : {"\x1b[0m", "\x1b[1m", "\x1b[2m"}) {
    for (std::size_t at; (at = text.find(code)) != std::string::npos;) text.erase(at, 4);
  }
  return text;
}

TEST_CASE("bold and dim text is for terminals, and for who asks for it") {
  if (!HasPrograms({"script"})) return;
  struct Row {
    const char* environment;
    const char* option;
    bool at_terminal, piped;
  };
  const Row rows[] = {{"TERM=xterm", "", true, false},
                      {"TERM=dumb", "", false, false},
                      {"-u TERM", "", false, false},
                      {"TERM=xterm NO_COLOR=1", "", false, false},
                      {"TERM=xterm NO_COLOR=", "", true, false},
                      {"TERM=xterm CLICOLOR=0", "", false, false},
                      {"TERM=xterm CLICOLOR=1", "", true, false},
                      {"TERM=xterm CLICOLOR_FORCE=1", "", true, true},
                      {"TERM=xterm CLICOLOR_FORCE=0", "", true, false},
                      {"TERM=xterm CLICOLOR_FORCE=1 NO_COLOR=1", "", false, false},
                      {"TERM=dumb", "--color always", true, true},
                      {"TERM=xterm NO_COLOR=1", "--color=always", true, true},
                      {"TERM=xterm CLICOLOR_FORCE=1", "--color never", false, false},
                      {"TERM=xterm NO_COLOR=1", "--color auto", false, false}};
  const std::string plain = Piped("", kRank);
  for (const Row& row : rows) {
    INFO(row.environment << " " << row.option);
    const std::string arguments = std::string(kRank) + " " + row.option;
    const std::string piped = Piped(std::string("env ") + row.environment, arguments);
    CHECK(HasEmphasis(piped) == row.piped);
    // It says nothing by itself.
    CHECK(WithoutEmphasis(piped) == plain);
    CHECK(HasEmphasis(AtTerminal(row.environment, arguments)) == row.at_terminal);
  }
  // Also before the command; and what programs read has none.
  CHECK(HasEmphasis(Piped("", std::string("--color always ") + kRank)));
  CHECK_FALSE(HasEmphasis(Piped("", std::string(kRank) + " --color always --format json")));
  CHECK(RunCommand("'" GEARWHY_PROGRAM "' --color sometimes rank x 2>/dev/null").exit_code == 2);
}

TEST_CASE("in a locale without UTF-8 pages are of ASCII alone, and no line is wider") {
  const std::string wide = Piped("LC_ALL=C.UTF-8", kRank);
  CHECK_FALSE(IsAscii(wide));
  const std::string narrow = Piped("LC_ALL=C", kRank);
  CHECK(IsAscii(narrow));
  CHECK(narrow.find('?') == std::string::npos);
  CHECK(Piped("LC_ALL=POSIX", kRank) == narrow);
  CHECK(Piped("env -u LC_ALL -u LC_CTYPE -u LANG", kRank) == narrow);
  CHECK(Piped("LC_ALL= LC_CTYPE=C.UTF-8 LANG=C", kRank) == wide);
  // A locale that this machine has not got, as of somebody who has come from another one.
  CHECK(Piped("LC_ALL=xx_XX.UTF-8", kRank) == wide);
  CHECK(Piped("LC_ALL=xx_XX.utf8@euro", kRank) == wide);
  CHECK(Piped("LC_ALL=xx_XX.ISO-8859-1", kRank) == narrow);
  const std::string bench =
      Piped("LC_ALL=C", "bench '" GEARWHY_SOURCE_DIR "/tests/cli/golden/bench-readings/patient.yaml'");
  CHECK(bench.find("+-") != std::string::npos);  // wider than what it stands for
  std::istringstream lines(bench);
  for (std::string line; std::getline(lines, line);) CHECK(line.size() <= 80);
  // Signs that are one column wide are replaced one by one: the same lines, as wide as they were.
  CHECK(std::count(narrow.begin(), narrow.end(), '\n') == std::count(wide.begin(), wide.end(), '\n'));
  // Programs are given UTF-8 always, and so are files.
  const std::string json = std::string(kRank) + " --format json";
  CHECK(Piped("LC_ALL=C", json) == Piped("LC_ALL=C.UTF-8", json));
}

TEST_CASE("in a locale without UTF-8 messages and names are of ASCII, too") {
  const TemporaryFolder folder;
  folder.Write("m\xC3\xBCller.yaml", "case: m\xC3\xBCller\ntitel: \xE2\x82\xAC 5\n");
  const std::string command =
      fmt::format("'{}' rank '{}' 2>&1", GEARWHY_PROGRAM, folder.Path("m\xC3\xBCller.yaml"));
  const Ran ran = RunCommand("LC_ALL=C " + command);
  CHECK(ran.exit_code == 1);
  CHECK(IsAscii(ran.out));
  CHECK_THAT(ran.out, ContainsSubstring("muller.yaml:2:1: error: "));
  CHECK_THAT(ran.out, ContainsSubstring("titel: ? 5"));
  CHECK_THAT(RunCommand(command).out, ContainsSubstring("m\xC3\xBCller.yaml:2:1: error: "));
}

TEST_CASE(
    "the version tells of the program, of its JSON, and of the rulebook in force, as sha256sum has it") {
  const std::string version = Piped("", "--version");
  CHECK(version.starts_with("gearwhy " GEARWHY_VERSION "\nJSON format: "));
  CHECK_THAT(version, ContainsSubstring("\nrulebook: " GEARWHY_SOURCE_DIR "/rules\n"));
  const std::string json = Piped("", std::string(kRank) + " --format jsonl");
  const auto line = version.find("JSON format: ") + 13;
  CHECK_THAT(json,
             ContainsSubstring("\"format\":" + version.substr(line, version.find('\n', line) - line) + "}"));
  const std::string sums = "find {} -name '*.yaml' | LC_ALL=C sort | xargs sha256sum";
  const auto hash = [](const std::string& command) {
    return RunCommand(command + " | sha256sum").out.substr(0, 64);
  };
  CHECK_THAT(version, ContainsSubstring("sha256 of all these files: " +
                                        hash("cd '" GEARWHY_SOURCE_DIR "' && " +
                                             fmt::format(fmt::runtime(sums), "rules"))));
  // With a shop of one's own.
  const TemporaryFolder folder;
  folder.Write("shop/one.yaml", "facts:\n  looked: {says: the shop has looked}\n");
  folder.Write("shop/units/two.yaml", "{}\n");
  const std::string shop = folder.Path("shop");
  const std::string with = Piped("GEARWHY_SHOP='" + shop + "'", "--version");
  CHECK_THAT(with, ContainsSubstring("\nshop: " + shop + "\n"));
  const std::string both =
      hash("(cd '" GEARWHY_SOURCE_DIR "' && " + fmt::format(fmt::runtime(sums), "rules") + "; cd '" +
           folder.path().string() + "' && " + fmt::format(fmt::runtime(sums), "shop") + ")");
  CHECK_THAT(with, ContainsSubstring(both));
  CHECK_THAT(Piped("GEARWHY_SHOP='" + shop + "/'", "--version"), ContainsSubstring(both));
  // Whatever is wrong, the first line stands.
  folder.Write("gearwhy/config.toml", "nonsense = 1\n");
  const std::string wrong = Piped("XDG_CONFIG_HOME='" + folder.path().string() + "'", "--version");
  CHECK(wrong.starts_with("gearwhy " GEARWHY_VERSION "\n"));
  CHECK_THAT(wrong, ContainsSubstring("the config file is wrong"));
  CHECK_THAT(Piped("GEARWHY_SHOP=/nonexistent", "--version"), ContainsSubstring("/nonexistent"));
}

TEST_CASE("who asks nothing is shown the help") {
  const Ran bare = RunCommand("'" GEARWHY_PROGRAM "' 2>/dev/null");
  CHECK(bare.exit_code == 0);
  CHECK(bare.out == RunCommand("'" GEARWHY_PROGRAM "' --help").out);
  CHECK_THAT(bare.out, ContainsSubstring("\n  rank "));
  CHECK(bare.out.find("manual") == std::string::npos);  // what is not for people
}

}  // namespace
}  // namespace gearwhy
