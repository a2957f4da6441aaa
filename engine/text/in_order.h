// In order: pieces of work done by several threads, whose results leave in the order in which they were asked
// for.
//
// In: one piece after another, and what to do with each result. Out: the results, handed on one by one by a thread
// of its own as soon as all before them are there, so that who waits for an answer before asking again gets
// it. Pieces are begun in their order. Those that have been added and have not left are at most kAhead for
// each thread; who adds more waits. So memory does not grow with their number, and while one piece takes
// long, each other thread goes on until that many pieces stand behind it: what takes no longer than kAhead
// others holds nobody up. An exception of a piece or of handing on ends the work, and comes out of Finish.
#pragma once

#include <condition_variable>
#include <deque>
#include <exception>
#include <functional>
#include <future>
#include <mutex>
#include <thread>
#include <vector>

#include "engine/text/at_once.h"

namespace gearwhy {

class InOrder {
 public:
  // Handing on returns false when nobody wants any more.
  using HandOn = std::function<bool()>;
  using Piece = std::function<HandOn()>;

  // So many at a time, at least one.
  explicit InOrder(std::size_t threads = Cores());
  ~InOrder();
  InOrder(const InOrder&) = delete;
  InOrder& operator=(const InOrder&) = delete;

  // False when nobody wants any more.
  bool Add(Piece piece);
  // Until all that was added has been handed on.
  void Wait();
  // The same, and the end of it; rethrows what went wrong first.
  void Finish();

 private:
  // Pieces for each thread. Larger: slower ones hold nobody up, and more memory is taken.
  static constexpr std::size_t kAhead = 64;

  void Work();
  void Leave();
  void Stop();

  const std::size_t window_;  // pieces that have been added and have not left, at most
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<std::packaged_task<HandOn()>> waiting_;
  std::deque<std::future<HandOn>> under_way_;  // in the order of Add
  bool stopped_ = false;
  std::exception_ptr failed_;
  std::vector<std::thread> threads_;
};

}  // namespace gearwhy
