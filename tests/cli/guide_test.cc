// Every command that the guide to the rulebook shows runs, on the shipped rulebook, a shop's folder and a
// case begun by the commands themselves.
#include <map>
#include <set>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

// The commands between backticks, without the program's name.
std::set<std::string> CommandsOf(const std::string& guide) {
  const std::string before = "`gearwhy ";
  std::set<std::string> commands;
  for (std::size_t at = 0; (at = guide.find(before, at)) != std::string::npos;) {
    at += before.size();
    commands.insert(guide.substr(at, guide.find('`', at) - at));
  }
  return commands;
}

// What stands in the guide for something of the reader's own, or, after a command alone, is left to say.
std::string Filled(std::string command) {
  const std::map<std::string, std::string> words = {{"CASE", "our-case.yaml"},
                                                    {"SUSPECT", "1"},
                                                    {"NAME", "our-shop/loose-plug.yaml"},
                                                    {"ID", "moulded-lip-cracks our-case.yaml"}};
  for (const auto& [word, by] : words) {
    const std::size_t at = command.find(word);
    if (at != std::string::npos) command.replace(at, word.size(), by);
  }
  // All the shipped cases are compared elsewhere.
  const std::map<std::string, std::string> of_a_case = {
      {"ask", " our-case.yaml"},
      {"why", " our-case.yaml"},
      {"bench", " our-case.yaml"},
      {"bench --capacity", " our-case.yaml"},
      {"bench --renew", " our-case.yaml"},
      {"rules test", " our-case.yaml"},
      {"rules test --coverage", " our-case.yaml"},
      {"rules test --changed-by our-shop", " our-case.yaml"},
      {"rules diff --shop our-shop", " our-case.yaml"},
  };
  const auto more = of_a_case.find(command);
  return more == of_a_case.end() ? command : command + more->second;
}

TEST_CASE("every command that the guide shows runs") {
  const TemporaryFolder folder;
  const auto run = [&](const std::string& command) {
    return RunCommand("cd '" + folder.path().string() + "' && unset GEARWHY_SHOP && '" GEARWHY_PROGRAM "' " +
                      command + " 2>&1 </dev/null");
  };
  std::set<std::string> commands = CommandsOf(ReadAll(GEARWHY_SOURCE_DIR "/rules/README.md"));
  REQUIRE(commands.size() >= 25);
  // All that is shipped is looked through elsewhere (shipped_gaps_test.cc).
  REQUIRE(commands.erase("rules gaps") == 1);
  REQUIRE(commands.erase("rules gaps cases") == 1);
  // What others need comes first.
  REQUIRE(commands.erase("new shop our-shop") == 1);
  REQUIRE(run("new shop our-shop").exit_code == 0);
  REQUIRE(run("new case our-case").exit_code == 0);
  folder.Write("our-cases/our-case.yaml", ReadAll(folder.Path("our-case.yaml")));
  for (const std::string& command : commands) {
    INFO(command);
    const Ran ran = run(Filled(command));
    INFO(ran.out);
    // A single case needs few of the rules.
    CHECK(ran.exit_code == (command.starts_with("rules gaps") ? 1 : 0));
    CHECK(ran.out.find("error:") == std::string::npos);
  }
}

}  // namespace
}  // namespace gearwhy
