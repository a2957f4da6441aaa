#include "engine/text/at_once.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

namespace gearwhy {
namespace {
thread_local bool t_alone = false;
}

AloneOnThread::AloneOnThread() : before_(t_alone) { t_alone = true; }
AloneOnThread::~AloneOnThread() { t_alone = before_; }

std::size_t Cores() { return std::max(1u, std::thread::hardware_concurrency()); }

void AtOnce(std::size_t pieces, const std::function<void(std::size_t piece)>& work) {
  if (t_alone) {
    for (std::size_t i = 0; i < pieces; ++i) work(i);
    return;
  }
  std::atomic<std::size_t> next = 0;
  std::mutex failing;
  std::exception_ptr failed;
  const auto take = [&] {
    try {
      for (std::size_t i = next++; i < pieces; i = next++) work(i);
    } catch (...) {
      next = pieces;
      const std::lock_guard lock(failing);
      if (failed == nullptr) failed = std::current_exception();
    }
  };
  {
    std::vector<std::jthread> threads;
    for (std::size_t t = 1; t < std::min(Cores(), pieces); ++t) {
      try {
        threads.emplace_back(take);
      } catch (const std::system_error&) {
        break;  // fewer do it as well
      }
    }
    take();
  }
  if (failed != nullptr) std::rethrow_exception(failed);
}

}  // namespace gearwhy
