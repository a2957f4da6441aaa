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

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

std::string ReadAll(const fs::path& path) {
  std::ifstream file(path);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

TEST_CASE("whatever is typed, the interview ends well and the case loads") {
  const std::string said[] = {"1", "1", "1", "2", "2", "3", "4", "1 2", "1 2?", "2?", "9", "", "back", "back", "correct", "access", "later", "why", "ranking",
                              "reason 1", "also it is dark", "also", "help", "don't know", "230 V", "7", "3 bar", "list", "no light in the attic",
                              "\x1b[31m", "\xFF\xFE", "none", "r", "yes", "no", ": - {", "\"quoted\" # text", "dark hall", "humming", "new-name", "-5 V"};
  const std::string existing =
      "case: lamp\ntitle: Dark\nhistory: [house_is_old]  # we think\n# theirs\ncomplaint:\n- present: {dark: attic}\n  note: 'as told'\nopen: [standing]\n";
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
        fmt::format("cd '{}' && '{}' ask {} --rules '{}/tests/cli/golden/ask-new/book' <input >out 2>err", folder.string(), GEARWHY_PROGRAM,
                    begun ? "lamp.yaml" : "", GEARWHY_SOURCE_DIR);
    const int status = std::system(command.c_str());
    INFO("session " << session << "\n" << ReadAll(folder / "out") << ReadAll(folder / "err"));
    REQUIRE(WIFEXITED(status));
    REQUIRE(WEXITSTATUS(status) == 0);
    REQUIRE(ReadAll(folder / "err").empty());
    REQUIRE(fs::exists(folder / "lamp.yaml"));
    const std::string text = ReadAll(folder / "lamp.yaml");
    if (begun) REQUIRE(text.find("# theirs") != std::string::npos);
    const std::string rank = fmt::format("cd '{}' && '{}' rank lamp.yaml --rules '{}/tests/cli/golden/ask-new/book' >out 2>err", folder.string(),
                                         GEARWHY_PROGRAM, GEARWHY_SOURCE_DIR);
    INFO(text);
    REQUIRE(std::system(rank.c_str()) == 0);
    fs::remove_all(folder);
  }
}

}  // namespace
}  // namespace gearwhy
