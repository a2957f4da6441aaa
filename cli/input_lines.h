// Input lines: the standard input line by line, as long as it comes, while the program may be asked to stop.
//
// In: lines of any length. Out: each without its end; of one that is longer than a case may be (kMaxCaseBytes)
// no more is kept than shows that. What came of a line before the input broke off is no line.
// Errors: why the input broke off.
#pragma once

#include <string>
#include <string_view>

#include "cli/stop_signal.h"

namespace gearwhy {

class InputLines {
 public:
  explicit InputLines(const StopSignal& stop) : stop_(stop) {}

  // False at the end, when the input has broken off, and when the program is to stop.
  bool Next(std::string& line);
  // The number of the last line, from 1.
  int number() const { return number_; }
  // The errno by which the input broke off; 0: it did not.
  int error() const { return error_; }

 private:
  bool Fill();

  const StopSignal& stop_;
  std::string buffer_;
  std::size_t at_ = 0;  // what stands before it in the buffer was handed out
  bool ended_ = false;
  int number_ = 0, error_ = 0;
};

// What a line of JSON calls its case, as far as it can be told of one that is wrong: the text behind the key
// `case` of the object itself. Empty where it does not say, or where that is no name.
std::string CaseNamedIn(std::string_view line);

}  // namespace gearwhy
