// What is done while something fails (failing_calls_test.cc, failing_memory_test.cc): cases are ranked, a
// case is kept; and what must hold of it whatever has failed.
#pragma once

#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/book.h"
#include "tests/support/catch.h"
#include "tests/support/workplace.h"

namespace gearwhy {

inline const std::string kFeverBook = GEARWHY_SOURCE_DIR "/tests/cli/golden/fever-rank/book";
inline const std::string kLampBook = GEARWHY_SOURCE_DIR "/tests/cli/golden/ask-resume/book";

struct Job {
  std::vector<std::string> arguments;
  std::string input;
  std::vector<std::pair<std::string, std::string>> files;  // names and texts

  std::unique_ptr<Workplace> Prepared() const {
    auto workplace = std::make_unique<Workplace>(input);
    for (const auto& [name, text] : files) workplace->Write(name, text);
    return workplace;
  }
};

inline const std::vector<std::string> kThree = {"one", "two", "three"};

inline Job RankAFolder() {
  Job job{{"rank", "cases", "--rules", kFeverBook, "--format", "jsonl"}, "", {}};
  for (const std::string& name : kThree) {
    job.files.emplace_back(fmt::format("cases/{}.yaml", name),
                           fmt::format("case: {}\ntitle: T\ncomplaint: [present: fever]\n", name));
  }
  return job;
}

inline Job RankAStream() {
  Job job{{"rank", "-", "--rules", kFeverBook, "--format", "jsonl"}, "", {}};
  for (const std::string& name : kThree) {
    job.input += fmt::format(
        "{{\"case\": \"{}\", \"title\": \"T\", \"complaint\": [{{\"present\": \"fever\"}}]}}\n", name);
  }
  return job;
}

// Where a saving fails, the next line that is a 1 answers the question whether to try again, and those before
// it are lost: so what is told besides is told twice.
inline const std::string kAnswers =
    "1\n1\n1\nalso it hums\n1\n1\nalso it hums\n1\n1\n1\n1\nleave\n1\nleave\n";

inline Job KeepACase() {
  return {{"ask", "lamp.yaml", "--rules", kLampBook},
          kAnswers,
          {{"lamp.yaml",
            "case: lamp\ntitle: Dark\n# theirs\ncomplaint:\n- present: {dark: attic}\n  note: 'as told'\n"}}};
}

inline Job BeginACase() {
  return {{"ask", "lamp.yaml", "--rules", kLampBook}, "no light in the attic\n1\n\n" + kAnswers, {}};
}

// Whole lines, each an object of JSON. Only what could not be written lacks its end.
inline void MustBeWholeLines(const std::string& out, bool all) {
  std::istringstream lines(out);
  for (std::string line; std::getline(lines, line);) {
    if (lines.eof() && !all) return;
    REQUIRE(nlohmann::json::accept(line));
  }
}

// Whether the text is a case of the lamp book.
inline bool IsLampCase(const std::string& text) {
  TestBook lamp(ReadAll(kLampBook + "/lamp.yaml"));
  return lamp.ReadCase("lamp", text).has_value();
}

// What was there stays, whole and with its remarks; where all went well, what was answered is in it.
inline void MustHaveKept(const Workplace& workplace, int code) {
  const std::string text = ReadAll(workplace.Path("lamp.yaml"));
  INFO(text);
  REQUIRE(text.find("# theirs") != std::string::npos);
  REQUIRE(IsLampCase(text));
  if (code == 0) REQUIRE(text.find("hums") != std::string::npos);
}

// What was begun is there whole, or not at all and that is no success.
inline void MustHaveBegun(const Workplace& workplace, int code) {
  const bool is_there = std::filesystem::exists(workplace.Path("lamp.yaml"));
  if (code == 0) REQUIRE(is_there);
  if (!is_there) return;
  const std::string text = ReadAll(workplace.Path("lamp.yaml"));
  INFO(text);
  REQUIRE(IsLampCase(text));
}

}  // namespace gearwhy
