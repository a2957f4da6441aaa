// Screen: pages shown to a person at a terminal so that what is asked stands last and whole.
//
// In: what comes before a question, and the question. Out: the same, written to stdout. At a terminal what does
// not fit above the question is shown a screen at a time; Enter leads on, and whatever else is typed there is
// taken as the answer. Through a pipe nothing is held back. The size of the window is asked for each time.
#pragma once

#include <optional>
#include <string>

#include "cli/line_reader.h"
#include "cli/session.h"

namespace gearwhy {

class Screen {
 public:
  explicit Screen(LineReader& reader) : reader_(reader) {}

  // A new question, behind what comes before it. What was typed instead of reading on stands in `typed`.
  // Returns how it ended where the person left meanwhile.
  std::optional<ReadEnd> Ask(const std::string& before, const std::string& question,
                             std::optional<std::string>* typed);
  // Something told while a question stands, which then needs to be seen again: true where it no longer is.
  // May be asked before Tell.
  bool WouldHide(const std::string& told) const;
  std::optional<ReadEnd> Tell(const std::string& told, std::optional<std::string>* typed);

 private:
  // Shows a text that is longer than the window a page at a time, and leaves `room` lines below its end.
  std::optional<ReadEnd> Turn(const std::string& text, int room, std::optional<std::string>* typed);

  LineReader& reader_;
  int below_question_ = 0;  // lines from the beginning of the question on, its answer included
};

}  // namespace gearwhy
