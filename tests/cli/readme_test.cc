// The README shows what the program really prints: every block that begins with `$ gearwhy ...` is the
// beginning of that answer.
//
// GEARWHY_REWRITE=1 puts as many lines of the true answer into each block as it has now.
#include <fmt/format.h>

#include <cstdlib>
#include <fstream>
#include <sstream>
#include <vector>

#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

constexpr const char* kReadme = GEARWHY_SOURCE_DIR "/README.md";

std::vector<std::string> Lines(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::vector<std::string> Answer(const std::string& arguments) {
  const std::string command = fmt::format("cd '{}' && NO_COLOR=1 '{}' {} </dev/null 2>&1", GEARWHY_SOURCE_DIR,
                                          GEARWHY_PROGRAM, arguments);
  return Lines(RunCommand(command).out);
}

TEST_CASE("every session in the README is what the program prints") {
  std::vector<std::string> lines = Lines(ReadAll(kReadme));
  const std::string prompt = "$ gearwhy ";
  int sessions = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (lines[i].rfind(prompt, 0) != 0) continue;
    ++sessions;
    const std::vector<std::string> answer = Answer(lines[i].substr(prompt.size()));
    INFO(lines[i]);
    for (std::size_t at = 0; lines.at(i + 1 + at) != "```"; ++at) {
      REQUIRE(at < answer.size());
      if (std::getenv("GEARWHY_REWRITE") != nullptr) lines[i + 1 + at] = answer[at];
      CHECK(lines[i + 1 + at] == answer[at]);
    }
  }
  CHECK(sessions >= 2);
  if (std::getenv("GEARWHY_REWRITE") == nullptr) return;
  std::ofstream rewritten(kReadme);
  for (const std::string& line : lines) rewritten << line << '\n';
}

}  // namespace
}  // namespace gearwhy
