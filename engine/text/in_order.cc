#include "engine/text/in_order.h"

#include <algorithm>
#include <utility>

namespace gearwhy {

InOrder::InOrder(std::size_t threads) : window_(kAhead * std::max<std::size_t>(1, threads)) {
  try {
    threads_.reserve(threads + 1);
    threads_.emplace_back([this] { Leave(); });
    do threads_.emplace_back([this] { Work(); });
    while (threads_.size() <= threads);
  } catch (const std::exception&) {
    if (threads_.size() >= 2) return;  // fewer do it as well
    Stop();
    throw;
  }
}

InOrder::~InOrder() { Stop(); }

bool InOrder::Add(Piece piece) {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [&] { return stopped_ || under_way_.size() < window_; });
  if (stopped_) return false;
  waiting_.emplace_back(std::move(piece));
  under_way_.push_back(waiting_.back().get_future());
  changed_.notify_all();
  return true;
}

void InOrder::Wait() {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [&] { return stopped_ || under_way_.empty(); });
}

void InOrder::Finish() {
  Wait();
  Stop();
  if (failed_ != nullptr) std::rethrow_exception(std::exchange(failed_, nullptr));
}

void InOrder::Stop() {
  {
    const std::lock_guard lock(mutex_);
    stopped_ = true;
    waiting_.clear();
    changed_.notify_all();
  }
  for (std::thread& thread : threads_) {
    if (thread.joinable()) thread.join();
  }
}

void InOrder::Work() {
  const AloneOnThread alone;
  for (;;) {
    std::packaged_task<HandOn()> piece;
    {
      std::unique_lock lock(mutex_);
      changed_.wait(lock, [&] { return stopped_ || !waiting_.empty(); });
      if (stopped_) return;
      piece = std::move(waiting_.front());
      waiting_.pop_front();
    }
    piece();
  }
}

void InOrder::Leave() {
  for (;;) {
    std::future<HandOn> next;
    {
      std::unique_lock lock(mutex_);
      changed_.wait(lock, [&] { return stopped_ || !under_way_.empty(); });
      if (stopped_) return;
      next = std::move(under_way_.front());
    }
    bool wanted = false;
    std::exception_ptr failed;
    try {
      wanted = next.get()();
    } catch (...) {
      failed = std::current_exception();
    }
    const std::lock_guard lock(mutex_);
    if (stopped_) return;  // it was given up, and that is no failure
    under_way_.pop_front();
    if (!wanted) stopped_ = true;
    if (failed != nullptr) failed_ = failed;
    changed_.notify_all();
  }
}

}  // namespace gearwhy
