// Answered before: the file that a batch writes its answers into, and those that an earlier run has left
// there.
//
// In: a file of JSON lines as `gearwhy rank --format jsonl` writes them, or the name of a new one. Out: which
// answers are there already, by what they were made from (`made_from`, engine/render/json_answers.h); from
// then on the standard output is the end of that file. A last line that was cut short is taken off, and said.
// Each answer stands for one case: of two that are alike word for word, two are wanted.
// Cost: one reading of the file, and some 150 bytes for each answer in it.
// Errors: a file that cannot be written or that another run is writing, and a line that is no such answer;
// then nothing is changed in it. Threads: any number may Take at once.
#pragma once

#include <cstdio>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <unordered_map>

namespace gearwhy {

class AnsweredBefore {
 public:
  // Nothing after saying on stderr why.
  static std::unique_ptr<AnsweredBefore> Open(const std::string& path);

  // Whether there is an answer to it, and that one is a good one: false of a case that had errors. It is
  // taken then, and counts no more.
  std::optional<bool> Take(const std::string& made_from);

 private:
  AnsweredBefore() = default;

  // What is wrong; empty: nothing. `whole`: how many bytes of the file are whole lines; `lines`: how many
  // they are.
  std::string Read(std::FILE* file, off_t& whole, int& lines);

  struct Count {
    int good = 0, failed = 0;
  };
  std::mutex taking_;
  std::unordered_map<std::string, Count> answers_;  // by `made_from`
};

}  // namespace gearwhy
