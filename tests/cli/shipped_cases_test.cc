// Every case that comes with gearwhy is answered as it expects.
#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

TEST_CASE("every shipped case comes out as it expects") {
  const auto run = RunCommand("'" GEARWHY_PROGRAM "' rules test 2>&1");
  INFO(run.out);
  CHECK(run.exit_code == 0);
  CHECK(run.out.find(" as expected, 0 not") != std::string::npos);
}

TEST_CASE("a case that names no unit is answered, too") {
  const TemporaryFolder folder;
  const std::string file = folder.Path("nameless.yaml");
  folder.Write("nameless.yaml", "case: nameless\ntitle: Weak\ncomplaint: [present: idle_reads_low]\n");
  for (const char* command : {"rank", "next", "why", "bench"}) {
    INFO(command);
    const auto run = RunCommand("'" GEARWHY_PROGRAM "' " + std::string(command) + " '" + file + "' 2>&1");
    INFO(run.out);
    CHECK(run.exit_code == 0);
  }
}

// The first `"key": "..."` of what the program writes.
std::string FirstKey(const std::string& command, const std::string& file) {
  const auto run = RunCommand("'" GEARWHY_PROGRAM "' " + command +
                              " --format json '" GEARWHY_SOURCE_DIR "/cases/" + file + "'");
  CHECK(run.exit_code == 0);
  const std::string key = "\"key\": \"";
  const std::size_t next = run.out.find("\"next\": [");
  REQUIRE(next != std::string::npos);
  const std::size_t begin = run.out.find(key, next);
  REQUIRE(begin != std::string::npos);
  return run.out.substr(begin, run.out.find('"', begin + key.size()) - begin);
}

TEST_CASE("rank and next put the same check first, also where a case is too entangled for all of them") {
  for (const char* file : {"every-range-bad.yaml", "flare-and-shudder.yaml", "howls-but-not-in-third.yaml"}) {
    INFO(file);
    CHECK(FirstKey("rank", file) == FirstKey("next", file));
  }
}

}  // namespace
}  // namespace gearwhy
