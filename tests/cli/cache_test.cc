// The program answers the same, byte for byte, with a cold cache, a warm one and none; whatever is wrong with
// the cache's folder; and keeps nothing where it is told not to.
#include <fmt/format.h>

#include <filesystem>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

constexpr const char* kCase = "'" GEARWHY_SOURCE_DIR "/cases/no-reverse-when-hot.yaml'";

struct Home {
  TemporaryFolder folder;
  std::string cache = folder.Path("gearwhy");

  Ran Run(const std::string& arguments, const std::string& before = "") const {
    return RunCommand(fmt::format("export XDG_CACHE_HOME='{}'; {} '{}' {} 2>&1", folder.path().string(),
                                  before, GEARWHY_PROGRAM, arguments));
  }
  bool IsEmpty() const { return !fs::exists(cache) || fs::is_empty(cache); }
};

// Without the cache, cold and warm.
void CheckSame(const std::string& arguments) {
  INFO(arguments);
  const Home home;
  const Ran without = home.Run(arguments + " --no-cache");
  CHECK(home.IsEmpty());
  const Ran cold = home.Run(arguments);
  CHECK_FALSE(home.IsEmpty());
  const Ran warm = home.Run(arguments);
  CHECK(without.out.size() > 100);
  CHECK(cold.out == without.out);
  CHECK(warm.out == without.out);
  CHECK(warm.exit_code == without.exit_code);
}

// What makes an answer beyond the chances is made of the same book: the commands below say it whole.
TEST_CASE("every shipped case has the same chances with the cache and without") {
  CheckSame("rank '" GEARWHY_SOURCE_DIR "/cases' --format jsonl --only chances");
}

TEST_CASE("every command answers the same with the cache and without") {
  for (const char* arguments : {"rank --details", "rank --format json", "why", "why --format json", "next",
                                "next --format json", "bench", "bench --format json", "sheet"}) {
    CheckSame(fmt::format("{} {}", arguments, kCase));
  }
  for (const char* arguments :
       {"rules list", "rules list charts", "rules check", "rules gaps", "unit show simpson-three-speed",
        "rules show no-drive " /* of cases, one: */ "'" GEARWHY_SOURCE_DIR "/cases/no-reverse-when-hot.yaml'",
        "rules schema case"}) {
    CheckSame(arguments);
  }
}

TEST_CASE("messages about a case show its lines and those of the rulebook the same") {
  const TemporaryFolder cases;
  cases.Write("wrong.yaml",
              "case: wrong\ntitle: x\nunit: simpson-three-speed\nfacts:\n  - towedd\ncomplaint: [slips]\n");
  CheckSame("rank '" + cases.Path("wrong.yaml") + "'");
}

TEST_CASE("whatever is wrong with the folder, the answer is the same") {
  const std::string rank = std::string("rank ") + kCase;
  const Home warm;
  const Ran right = warm.Run(rank);
  REQUIRE(right.exit_code == 0);
  for (const auto& entry : fs::directory_iterator(warm.cache)) {
    fs::resize_file(entry.path(), fs::file_size(entry.path()) / 2);
    CHECK(warm.Run(rank).out == right.out);
  }
  for (const char* before : {"unset XDG_CACHE_HOME HOME;", "unset XDG_CACHE_HOME; HOME=/nonexistent",
                             "XDG_CACHE_HOME=/proc", "XDG_CACHE_HOME=relative", "GEARWHY_NO_CACHE=1",
                             "ulimit -f 8; trap '' XFSZ;", "umask 077;", "umask 0;"}) {
    const Home home;
    INFO(before);
    const Ran ran = home.Run(rank, before);
    CHECK(ran.out == right.out);
    CHECK(ran.exit_code == 0);
    CHECK(home.IsEmpty() == !std::string(before).starts_with("umask"));
  }
  const Home blocked;
  blocked.folder.Write("gearwhy", "a file");
  CHECK(blocked.Run(rank).out == right.out);
}

TEST_CASE("several programs at once, with nothing kept yet, answer alike") {
  const Home home;
  const Ran ran = home.Run(fmt::format(
      "rules list >/dev/null & for i in 1 2 3 4; do '{}' rules list --layers >'{}'.$i 2>&1 & done; wait",
      GEARWHY_PROGRAM, home.folder.Path("out")));
  REQUIRE(ran.exit_code == 0);
  const std::string right = home.Run("rules list --layers --no-cache").out;
  for (const char* number : {".1", ".2", ".3", ".4"})
    CHECK(ReadAll(home.folder.Path("out") + number) == right);
}

}  // namespace
}  // namespace gearwhy
