// gearwhy ask --json: the golden sessions of a person, answered by a program, leave the same case; and what
// is asked is what a person is asked.
#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

// With every run of white space as one blank.
std::string Flat(const std::string& text) {
  std::istringstream words(text);
  std::string flat;
  for (std::string word; words >> word;) flat += (flat.empty() ? "" : " ") + word;
  return flat;
}

// What a person typed at a prompt, as a program says it: numbers of options as numbers, all else as a line.
std::string Object(const std::string& typed, const Json& prompt) {
  const bool numbers = typed.find_first_not_of("0123456789 ") == std::string::npos;
  if (!numbers || prompt["takes"] == "text" || prompt["takes"] == "quantity")
    return Json{{"line", typed}}.dump();
  std::istringstream in(typed);
  Json choose = Json::array();
  for (int number; in >> number;) choose.push_back(number);
  return Json{{"choose", choose}}.dump();
}

struct Session {
  std::vector<Json> said;
  int exit_code = 0;
  std::string files;  // as in the golden folder's `expected`
};

Session Talk(const fs::path& given, const std::string& input) {
  const fs::path folder = fs::temp_directory_path() /
                          fmt::format("gearwhy-json-{}-{}.folder", getpid(), given.filename().string());
  fs::copy(given, folder, fs::copy_options::recursive);
  std::ofstream(folder / "input") << input;
  std::string command = fmt::format("cd '{}' && '{}'", folder.string(), GEARWHY_PROGRAM);
  std::ifstream arguments(folder / "arguments");
  for (std::string line; std::getline(arguments, line);) command += fmt::format(" '{}'", line);
  const Ran ran = RunCommand(command + " --json <input 2>/dev/null");
  Session session;
  session.exit_code = ran.exit_code;
  std::istringstream lines(ran.out);
  for (std::string line; std::getline(lines, line);) {
    INFO(line);
    REQUIRE(Json::accept(line));
    session.said.push_back(Json::parse(line));
  }
  std::ifstream files(folder / "files");
  for (std::string name; std::getline(files, name);)
    session.files += fmt::format("--- {}\n{}", name, ReadAll(folder / name));
  fs::remove_all(folder);
  return session;
}

TEST_CASE("a program has the same interviews as a person") {
  int sessions = 0;
  for (const auto& entry : fs::directory_iterator(fs::path(GEARWHY_SOURCE_DIR) / "tests/cli/golden")) {
    const std::string name = entry.path().filename().string();
    if (!name.starts_with("ask-") || !fs::exists(entry.path() / "input")) continue;
    ++sessions;
    INFO(entry.path().string());
    std::vector<std::string> typed;
    std::string as_lines, as_objects;
    std::ifstream file(entry.path() / "input");
    for (std::string line; std::getline(file, line);) {
      typed.push_back(line);
      as_lines += Json{{"line", line}}.dump() + "\n";
    }
    const Session by_lines = Talk(entry.path(), as_lines);
    for (std::size_t i = 0; i < typed.size() && i + 1 < by_lines.said.size(); ++i)
      as_objects += Object(typed[i], by_lines.said[i]) + "\n";
    const Session session = Talk(entry.path(), as_objects);
    CHECK(session.said == by_lines.said);
    const std::string expected = ReadAll(entry.path() / "expected");
    const auto exits = expected.find("--- exit ");
    CHECK(fmt::format("--- exit {}\n{}", session.exit_code, session.files) == expected.substr(exits));

    const std::string page = Flat(expected.substr(0, expected.find("--- stderr")));
    REQUIRE(session.said.size() >= 2);
    for (const Json& one : session.said) {
      CHECK(one["made_by"]["program"] == "gearwhy");
      // Helps and rankings are laid out by what was shown before; the rest is word for word.
      for (const Json& happened : one["since"]) {
        INFO(happened.dump());
        if (happened["kind"] != "wrong") CHECK(page.find(Flat(happened["says"])) != std::string::npos);
      }
      if (one.contains("over")) continue;
      for (const Json& option : one["options"]) {
        INFO(one.dump());
        if (one["prompt"] != "complaint") CHECK(page.find(Flat(option["says"])) != std::string::npos);
      }
    }
    CHECK(session.said.back()["over"] == true);
  }
  CHECK(sessions >= 8);
}

TEST_CASE("what is no reply is told with its place, and the question stands") {
  struct Slip {
    const char* line;
    const char* message;
  };
  const Slip slips[] = {
      {R"({"chose": [1]})", "a reply has no key `chose`; did you mean `choose`?"},
      {R"({"choose": [1], "say": "it hums"})",
       "a reply has one of `choose`, `say`, `word` and `line`; which of them is meant?"},
      {R"({})", "a reply has one of `choose`, `say`, `word` and `line`; which of them is meant?"},
      {R"([1])", ""},
      {R"({"choose": [1)", ""},
  };
  const fs::path folder = fs::path(GEARWHY_SOURCE_DIR) / "tests/cli/golden/ask-unit-in";
  for (const Slip& slip : slips) {
    const Session session = Talk(folder, std::string(slip.line) + "\n");
    INFO(slip.line);
    REQUIRE(session.said.size() == 3);
    const Json& again = session.said[1];
    CHECK(again["again"] == true);
    CHECK(again["prompt"] == session.said[0]["prompt"]);
    REQUIRE(again["since"].size() == 1);
    const Json& wrong = again["since"][0];
    CHECK(wrong["kind"] == "wrong");
    CHECK(wrong["messages"][0]["file"] == "reply");
    CHECK(wrong["messages"][0]["line"] == 1);
    if (*slip.message != '\0') CHECK(wrong["messages"][0]["message"] == slip.message);
    CHECK(session.said[2]["over"] == true);
  }
}

TEST_CASE("a reply that does not fit what is asked changes nothing, and says so") {
  const fs::path folder = fs::path(GEARWHY_SOURCE_DIR) / "tests/cli/golden/ask-unit-in";
  for (const char* line :
       {R"({"choose": [99]})", R"({"word": "nonsense"})", R"({"choose": [1], "under": ["noon"]})"}) {
    const Session session = Talk(folder, std::string(line) + "\n");
    INFO(line);
    REQUIRE(session.said.size() == 3);
    CHECK(session.said[1]["again"] == true);
    CHECK(session.said[1]["since"][0]["kind"] == "not_understood");
    CHECK(session.said[1]["options"] == session.said[0]["options"]);
  }
}

}  // namespace
}  // namespace gearwhy
