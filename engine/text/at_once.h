// At once: pieces of work that do not depend on each other, done on as many threads as the machine has cores.
//
// In: how many pieces, and what to do for each. Every piece must keep to its own results, so that nothing
// depends on who comes first. Returns when all are done. Where no more threads are to be had, fewer do the
// work. After an exception of a piece no other is begun, and the first that came is thrown on.
#pragma once

#include <cstddef>
#include <functional>

namespace gearwhy {

// Work that is itself done on many threads is not parted further: while one of these lives, its thread does
// all pieces of AtOnce alone.
class AloneOnThread {
 public:
  AloneOnThread();
  ~AloneOnThread();
  AloneOnThread(const AloneOnThread&) = delete;
  AloneOnThread& operator=(const AloneOnThread&) = delete;

 private:
  bool before_;
};

std::size_t Cores();
void AtOnce(std::size_t pieces, const std::function<void(std::size_t piece)>& work);

}  // namespace gearwhy
