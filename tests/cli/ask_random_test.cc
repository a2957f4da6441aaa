// Whatever is typed: the interview ends as it should, and what it has saved is a case that loads.
#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

TEST_CASE("whatever is typed, the interview ends well and the case loads") {
  const std::string said[] = {"1",
                              "1",
                              "1",
                              "2",
                              "2",
                              "3",
                              "4",
                              "1 2",
                              "1 2?",
                              "2?",
                              "9",
                              "",
                              "back",
                              "back",
                              "correct",
                              "access",
                              "later",
                              "why",
                              "ranking",
                              "reason 1",
                              "also it is dark",
                              "also",
                              "help",
                              "don't know",
                              "230 V",
                              "7",
                              "3 bar",
                              "list",
                              "no light in the attic",
                              "\x1b[31m",
                              "\xFF\xFE",
                              "none",
                              "r",
                              "yes",
                              "no",
                              ": - {",
                              "\"quoted\" # text",
                              "dark hall",
                              "humming",
                              "new-name",
                              "-5 V"};
  const std::string existing =
      "case: lamp\ntitle: Dark\nhistory: [house_is_old]  # we think\n# theirs\ncomplaint:\n- present: {dark: "
      "attic}\n  note: 'as told'\nopen: [standing]\n";
  std::mt19937 random(20);
  for (int session = 0; session < 60; ++session) {
    std::string pattern = (fs::temp_directory_path() / "gearwhy_random_XXXXXX").string();
    REQUIRE(::mkdtemp(pattern.data()) != nullptr);
    const fs::path folder = pattern;
    const bool begun = session % 2 == 0;
    std::string input = begun ? "" : "no light in the attic\n1\n\nlamp\n";
    for (int i = 0; i < 60; ++i) input += said[random() % std::size(said)] + "\n";
    std::ofstream(folder / "input") << input;
    if (begun) std::ofstream(folder / "lamp.yaml") << existing;
    const std::string command =
        fmt::format("cd '{}' && '{}' ask {} --rules '{}/tests/cli/golden/ask-new/book' <input >out 2>err",
                    folder.string(), GEARWHY_PROGRAM, begun ? "lamp.yaml" : "", GEARWHY_SOURCE_DIR);
    const int status = std::system(command.c_str());
    INFO("session " << session << "\n" << ReadAll(folder / "out") << ReadAll(folder / "err"));
    REQUIRE(WIFEXITED(status));
    REQUIRE(WEXITSTATUS(status) == 0);
    REQUIRE(ReadAll(folder / "err").empty());
    // Who goes back past its name gives it another: there is one case all the same.
    std::vector<fs::path> cases;
    for (const auto& entry : fs::directory_iterator(folder)) {
      if (entry.path().extension() == ".yaml") cases.push_back(entry.path());
    }
    REQUIRE(cases.size() == 1);
    if (begun) REQUIRE(cases.front().filename() == "lamp.yaml");
    const std::string text = ReadAll(cases.front());
    if (begun) REQUIRE(text.find("# theirs") != std::string::npos);
    const std::string rank =
        fmt::format("cd '{}' && '{}' rank {} --rules '{}/tests/cli/golden/ask-new/book' >out 2>err",
                    folder.string(), GEARWHY_PROGRAM, cases.front().filename().string(), GEARWHY_SOURCE_DIR);
    INFO(text);
    REQUIRE(std::system(rank.c_str()) == 0);
    fs::remove_all(folder);
  }
}

TEST_CASE("on a shipped unit: begun from nothing in the customer's words, and nobody can tell anything") {
  std::string pattern = (fs::temp_directory_path() / "gearwhy_shipped_XXXXXX").string();
  REQUIRE(::mkdtemp(pattern.data()) != nullptr);
  const fs::path folder = pattern;
  std::string input = "1\nno reverse when hot\n1\nflares 2-3\n1\n\n\n1 3\n180000 km\n";
  for (int i = 0; i < 40; ++i) input += "don't know\n";
  std::ofstream(folder / "input") << input;
  const std::string command =
      fmt::format("cd '{}' && '{}' ask --unit ravigneaux-simple-five-speed <input >out 2>err",
                  folder.string(), GEARWHY_PROGRAM);
  const int status = std::system(command.c_str());
  const std::string out = ReadAll(folder / "out");
  INFO(out << ReadAll(folder / "err"));
  REQUIRE(WIFEXITED(status));
  CHECK(WEXITSTATUS(status) == 0);
  for (const char* part :
       {"Which variant?\n  1 Light duty.\n", "\n  1 There is no drive in reverse.\n",
        "Complaint: there is no drive in reverse.\n",
        "What shall the case be called? Enter alone for no-reverse-when-hot\n",
        "\nThe suspects now: No reverse when hot\n", "Saved in no-reverse-when-hot.yaml."}) {
    INFO(part);
    CHECK(out.find(part) != std::string::npos);
  }
  const std::string text = ReadAll(folder / "no-reverse-when-hot.yaml");
  const std::string head =
      "case: no-reverse-when-hot\ntitle: \"No reverse when hot\"\nunit: "
      "ravigneaux-simple-five-speed\nvariant: light\nhistory:\n"
      "  - distance: 180000 km\n  - overheated_before\ncomplaint:\n  - present: {no_drive: R}\n    trust: "
      "customer\n"
      "  - present: {flare: {from: D2, to: D3}}\n    trust: customer\n";
  CHECK(text.starts_with(head));
  // What nobody could tell is noted as unknown, and nothing as observed.
  CHECK(text.find("observed:") == std::string::npos);
  fs::remove_all(folder);
}

}  // namespace
}  // namespace gearwhy
