// Progress: how far a batch is, in one line at the bottom of the terminal; and how long it took.
//
// "123 of 500 cases, 14.2 a second, 27 s left" is written over itself on stderr, at most five times a second,
// and taken away before anything else is written there and at the end. Only where stderr is a terminal and
// the answers do not go to a terminal, too. One thread at a time.
#pragma once

#include <chrono>
#include <cstddef>
#include <optional>
#include <string>

namespace gearwhy {

class Progress {
 public:
  // `total`: how many cases there are, where that is known.
  Progress(bool wanted, std::optional<std::size_t> total);
  ~Progress() { Hide(); }
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  // One more case is done; `worked`: and has taken its time, as one that was answered before has not.
  void Done(bool worked = true);
  void Hide();
  double seconds() const;  // since the beginning

 private:
  using Clock = std::chrono::steady_clock;

  bool shows_;
  const std::optional<std::size_t> total_;
  std::size_t done_ = 0, worked_ = 0;
  const Clock::time_point begun_ = Clock::now();
  Clock::time_point shown_ = begun_;
  std::size_t columns_shown_ = 0;
};

}  // namespace gearwhy
