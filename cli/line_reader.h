// Line reader: one answer after the other from a person at a terminal, or from a script through a pipe.
//
// At a terminal a line can be edited, and earlier ones come back with the arrow keys. Through a pipe the
// prompt and the answer are written to stdout, so that what is written reads like the session. While a
// LineReader lives, Ctrl-C, a closed terminal and a request to end are noticed by the next Read instead of
// ending the program. One at a time.
#pragma once

#include <memory>
#include <string>

namespace gearwhy {

enum class ReadEnd {
  kLine,
  kEnd,          // nothing more comes
  kInterrupted,  // Ctrl-C
  kHungUp,       // the terminal is gone, or the program was asked to end
};

class LineReader {
 public:
  enum class Of { kPerson, kProgram };
  // Of a program's lines nothing is written back.
  explicit LineReader(Of of = Of::kPerson);
  ~LineReader();
  LineReader(const LineReader&) = delete;
  LineReader& operator=(const LineReader&) = delete;

  // The line without its end, spaces at both ends removed.
  ReadEnd Read(const std::string& prompt, std::string* line);

 private:
  struct Terminal;
  const Of of_;
  std::unique_ptr<Terminal> terminal_;  // none: a pipe
  std::string buffer_;                  // read from the pipe, not handed out yet
};

}  // namespace gearwhy
