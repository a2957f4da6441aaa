// In order: pieces of work done on all cores, whose results leave in the order in which they were asked for.
//
// In: one piece after another, and what to do with each result. Out: the results, handed on one by one by a thread
// of its own as soon as all before them are there, so that who waits for an answer before asking again gets
// it. At most kWindow pieces are under way; who adds more waits. An exception of a piece or of handing on
// ends the work, and comes out of Finish.
#pragma once

#include <condition_variable>
#include <deque>
#include <exception>
#include <functional>
#include <future>
#include <mutex>
#include <thread>
#include <vector>

namespace gearwhy {

class InOrder {
 public:
  // Handing on returns false when nobody wants any more.
  using HandOn = std::function<bool()>;
  using Piece = std::function<HandOn()>;

  InOrder();
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
  static constexpr std::size_t kWindow = 64;

  void Work();
  void Leave();
  void Stop();

  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<std::packaged_task<HandOn()>> waiting_;
  std::deque<std::future<HandOn>> under_way_;  // in the order of Add
  bool stopped_ = false;
  std::exception_ptr failed_;
  std::vector<std::thread> threads_;
};

}  // namespace gearwhy
