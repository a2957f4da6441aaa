// Batch: many cases answered at once, their answers written one by one in the order of the cases.
//
// In: one case after the other. Out: whole answers on stdout, each there as soon as those before it are,
// messages on stderr, and how many of each there were. When the program is to stop, no other case is begun,
// and those that were begun before the first that was not are still answered.
// Cost: memory for as many cases as are under way at most (text/in_order.h), however many there are.
#pragma once

#include <functional>
#include <string>

#include "cli/progress.h"
#include "cli/rank_answer.h"
#include "cli/stop_signal.h"
#include "engine/text/in_order.h"

namespace gearwhy {

struct Tally {
  std::size_t answered = 0, not_answered = 0;  // in this run
  std::size_t not_exact = 0;                   // of those answered
  std::size_t were_there = 0;                  // answered by an earlier run
  bool good = true;                            // no case had errors, in either

  std::size_t all() const { return answered + not_answered + were_there; }
};

// Answers on their way out, one after another.
class AnswerWriter {
 public:
  // `list`: JSON as one list of all answers.
  AnswerWriter(Format format, bool list, Progress& progress);

  // False when they no longer get there.
  bool Add(const Answered& answered);
  // Closes the list.
  const Tally& End();

 private:
  const Format format_;
  const bool is_list_;
  Progress& progress_;
  bool is_first_ = true;
  Tally tally_;
};

class Batch {
 public:
  // All of them must outlive it. `jobs`: how many cases at a time.
  Batch(const Answerer& answerer, AnswerWriter& writer, const StopSignal& stop, std::size_t jobs)
      : answerer_(answerer), writer_(writer), stop_(stop), work_(jobs) {}

  // False when nobody wants any more.
  bool AddFile(const std::string& path) {
    return Add([this, path] { return answerer_.File(path); });
  }
  bool AddLine(int number, const std::string& line) {
    return Add([this, number, line] { return answerer_.Line(number, line); });
  }
  // Until all that was added is written, or the program is to stop.
  void Wait() { work_.Wait(); }
  void Finish() { work_.Finish(); }

 private:
  bool Add(std::function<Answered()> answer);

  const Answerer& answerer_;
  AnswerWriter& writer_;
  const StopSignal& stop_;
  InOrder work_;
};

}  // namespace gearwhy
