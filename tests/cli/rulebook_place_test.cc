// The program finds its rulebook wherever it is called from: through a symbolic link, and from a build folder
// that lies outside the sources.
#include <filesystem>
#include <fstream>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

constexpr const char* kAsk = "unit show simpson-three-speed";

TEST_CASE("a program found through a symbolic link finds its rulebook") {
  const TemporaryFolder folder;
  fs::create_symlink(GEARWHY_PROGRAM, folder.path() / "gw");
  const auto run = RunCommand("cd '" + folder.path().string() + "' && ./gw " + kAsk);
  CHECK(run.exit_code == 0);
  CHECK(run.out == RunCommand(std::string("'" GEARWHY_PROGRAM "' ") + kAsk).out);
}

TEST_CASE(
    "a program built in a folder outside the sources finds its rulebook, and one that lies anywhere says it "
    "has none") {
  const TemporaryFolder folder;
  const fs::path program = folder.path() / "gearwhy";
  fs::copy_file(GEARWHY_PROGRAM, program);
  const std::string command = "'" + program.string() + "' " + kAsk + " 2>&1";
  const auto without = RunCommand(command);
  CHECK(without.exit_code == 1);
  CHECK_THAT(without.out, ContainsSubstring("the shipped rulebook is not where it should be"));
  const fs::path note = fs::path(GEARWHY_PROGRAM).parent_path() / "gearwhy.sources";  // of the build
  REQUIRE(fs::exists(note));
  fs::copy_file(note, folder.path() / "gearwhy.sources");
  CHECK(RunCommand(command).exit_code == 0);
}

}  // namespace
}  // namespace gearwhy
