// The program's answers, word for word: each folder of golden/ holds the command line (`arguments`, one a
// line), the files it speaks of, and what the program answers (`expected`: standard output, standard error,
// exit code). A folder may hold an `input` for the standard input, and `files`, the names of files that are
// shown after the program's answer; then it runs in a copy of the folder. A book that several folders use
// stands in books/, and the folders point to it.
//
// GEARWHY_REWRITE=1 rewrites what is expected; read the differences before you commit them.
#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

// Runs the program in the folder.
std::string Run(const fs::path& given) {
  const bool writes = fs::exists(given / "input");
  const fs::path folder = writes
                              ? fs::temp_directory_path() / fmt::format("gearwhy-golden-{}-{}.folder",
                                                                        getpid(), given.filename().string())
                              : given;
  if (writes) fs::copy(given, folder, fs::copy_options::recursive);
  std::string command = fmt::format("cd '{}' && '{}'", folder.string(), GEARWHY_PROGRAM);
  std::ifstream arguments(folder / "arguments");
  for (std::string line; std::getline(arguments, line);) command += fmt::format(" '{}'", line);
  const fs::path err =
      fs::temp_directory_path() / fmt::format("gearwhy-golden-{}-{}", getpid(), folder.filename().string());
  command += fmt::format(" <'{}' 2>'{}'", writes ? "input" : "/dev/null", err.string());
  const Ran ran = RunCommand(command);
  const std::string errors = ReadAll(err);
  fs::remove(err);
  std::string answer = fmt::format("{}--- stderr\n{}--- exit {}\n", ran.out, errors, ran.exit_code);
  std::ifstream files(folder / "files");
  for (std::string name; std::getline(files, name);)
    answer += fmt::format("--- {}\n{}", name, ReadAll(folder / name));
  if (writes) fs::remove_all(folder);
  return answer;
}

TEST_CASE("the program answers word for word as expected") {
  std::vector<fs::path> folders;
  for (const auto& entry : fs::directory_iterator(fs::path(GEARWHY_SOURCE_DIR) / "tests/cli/golden"))
    folders.push_back(entry.path());
  std::sort(folders.begin(), folders.end());
  REQUIRE(folders.size() >= 8);
  for (const fs::path& folder : folders) {
    const std::string answer = Run(folder);
    if (std::getenv("GEARWHY_REWRITE") != nullptr) std::ofstream(folder / "expected") << answer;
    INFO(folder.string());
    CHECK(answer == ReadAll(folder / "expected"));
  }
}

}  // namespace
}  // namespace gearwhy
