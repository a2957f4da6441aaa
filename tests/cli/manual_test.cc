// The manual pages: one of each command that the help names, with all its options, and such that mandoc,
// groff and lexgrog, which makes the index of man(1), find nothing to say of them.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>
#include <sstream>
#include <vector>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

// What the help of a command lists behind a heading: the first word of each line, up to the next empty one.
std::vector<std::string> Listed(const std::string& help, const std::string& heading) {
  std::vector<std::string> listed;
  std::istringstream lines(help);
  bool is_in = false;
  for (std::string line; std::getline(lines, line);) {
    if (line == heading) {
      is_in = true;
    } else if (line.empty()) {
      is_in = false;
    } else if (is_in && line.starts_with("  ") && line[2] != ' ') {
      listed.push_back(line.substr(2, line.find(' ', 2) - 2));
    }
  }
  return listed;
}

// `command` without the program, "rules check". Collects the pages that are to be there.
void CheckPage(const std::string& command, const fs::path& folder, std::set<std::string>& pages) {
  std::string name = "gearwhy" + (command.empty() ? "" : " " + command);
  std::replace(name.begin(), name.end(), ' ', '-');
  pages.insert(name + ".1");
  INFO(name);
  const std::string help = RunCommand(fmt::format("'{}' {} --help", GEARWHY_PROGRAM, command)).out;
  const std::string shown =
      RunCommand(fmt::format("mandoc -T ascii '{}' | col -bx", (folder / (name + ".1")).string())).out;
  const std::vector<std::string> options = Listed(help, "Options:");
  CHECK_FALSE(options.empty());
  for (const std::string& option : options) {
    std::istringstream names(option);
    for (std::string one; std::getline(names, one, ',');) CHECK_THAT(shown, ContainsSubstring(one));
  }
  for (const std::string& operand : Listed(help, "Positionals:"))
    CHECK((shown.find("\n       " + operand + " ") != std::string::npos ||
           shown.find("\n       " + operand + "\n") != std::string::npos));
  for (const std::string& below : Listed(help, "Subcommands:")) {
    const std::string longer = command + (command.empty() ? "" : " ") + below;
    CHECK_THAT(shown, ContainsSubstring("gearwhy " + longer));
    CheckPage(longer, folder, pages);
  }
}

TEST_CASE("there is a manual page of each command, with what its help lists") {
  if (!HasPrograms({"mandoc", "col"})) return;
  const TemporaryFolder folder;
  REQUIRE(RunCommand(fmt::format("'{}' manual '{}'", GEARWHY_PROGRAM, folder.path().string())).exit_code ==
          0);
  std::set<std::string> pages, written;
  CheckPage("", folder.path(), pages);
  for (const auto& file : fs::directory_iterator(folder.path()))
    written.insert(file.path().filename().string());
  CHECK(pages == written);
  CHECK(pages.size() > 20);
}

TEST_CASE("mandoc, groff and lexgrog find nothing wrong with the manual pages") {
  if (!HasPrograms({"mandoc", "groff", "lexgrog"})) return;
  const TemporaryFolder folder;
  REQUIRE(RunCommand(fmt::format("'{}' manual '{}'", GEARWHY_PROGRAM, folder.path().string())).exit_code ==
          0);
  const std::string in = fmt::format("cd '{}' && ", folder.path().string());
  CHECK(RunCommand(in + "mandoc -T lint -W all *.1 2>&1").out.empty());
  CHECK(RunCommand(in + "for page in *.1; do groff -man -ww -z \"$page\"; done 2>&1").out.empty());
  const std::string names = RunCommand(in + "lexgrog *.1 2>&1").out;
  CHECK_THAT(names, ContainsSubstring(
                        "gearwhy-why.1: \"gearwhy-why - show the chain of reasoning behind a suspect\""));
  CHECK(std::count(names.begin(), names.end(), '\n') ==
        std::distance(fs::directory_iterator(folder.path()), fs::directory_iterator()));
  CHECK_THAT(names, !ContainsSubstring("failed\n"));
}

TEST_CASE("a folder for manual pages that is not there is said to be none") {
  const Ran ran = RunCommand(fmt::format("'{}' manual /nonexistent/folder 2>&1", GEARWHY_PROGRAM));
  CHECK(ran.exit_code == 1);
  CHECK_THAT(ran.out, ContainsSubstring("/nonexistent/folder"));
}

}  // namespace
}  // namespace gearwhy
