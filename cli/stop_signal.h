// Stop signal: Ctrl-C, a closed terminal or a request to end, noticed between two cases instead of in the
// middle of an answer.
//
// While a StopSignal lives, the first such signal is only noted; the next one ends the program at once, with
// the same exit code. What was ignored when the program began stays so (nohup). One at a time.
#pragma once

namespace gearwhy {

class StopSignal {
 public:
  StopSignal();
  ~StopSignal();
  StopSignal(const StopSignal&) = delete;
  StopSignal& operator=(const StopSignal&) = delete;

  // Any thread may ask.
  bool Came() const;
  // What a shell tells of a program that the signal has ended: 128 and its number.
  int exit_code() const;
  // A descriptor that can be read from once it has come, for whoever waits for input meanwhile.
  int waker() const;
};

}  // namespace gearwhy
