// `new` and `delete` of a whole program, on malloc and free, so that the sanitizers still watch them.
#include "tests/support/failing_new.h"

#include <atomic>
#include <cstdlib>
#include <new>

namespace gearwhy {
namespace {
std::atomic<long> g_asked = 0, g_fails_at = 0;
}

void FailAllocation(long n) {
  g_asked = 0;
  g_fails_at = n;
}

long AllocationsAsked() { return g_asked; }

namespace {
void* Allocate(std::size_t bytes, std::size_t alignment) {
  const bool fails = ++g_asked == g_fails_at;
  void* got = nullptr;
  if (!fails && alignment == 0) got = std::malloc(bytes == 0 ? 1 : bytes);
  if (!fails && alignment != 0)
    got = std::aligned_alloc(alignment, (bytes + alignment - 1) / alignment * alignment);
  return got;
}
void* AllocateOrThrow(std::size_t bytes, std::size_t alignment) {
  void* const got = Allocate(bytes, alignment);
  if (got == nullptr) throw std::bad_alloc();
  return got;
}
}  // namespace
}  // namespace gearwhy

using gearwhy::Allocate;
using gearwhy::AllocateOrThrow;

void* operator new(std::size_t n) { return AllocateOrThrow(n, 0); }
void* operator new[](std::size_t n) { return AllocateOrThrow(n, 0); }
void* operator new(std::size_t n, std::align_val_t a) {
  return AllocateOrThrow(n, static_cast<std::size_t>(a));
}
void* operator new[](std::size_t n, std::align_val_t a) {
  return AllocateOrThrow(n, static_cast<std::size_t>(a));
}
void* operator new(std::size_t n, const std::nothrow_t&) noexcept { return Allocate(n, 0); }
void* operator new[](std::size_t n, const std::nothrow_t&) noexcept { return Allocate(n, 0); }
void operator delete(void* p) noexcept { std::free(p); }
void operator delete[](void* p) noexcept { std::free(p); }
void operator delete(void* p, std::size_t) noexcept { std::free(p); }
void operator delete[](void* p, std::size_t) noexcept { std::free(p); }
void operator delete(void* p, std::align_val_t) noexcept { std::free(p); }
void operator delete[](void* p, std::align_val_t) noexcept { std::free(p); }
void operator delete(void* p, std::size_t, std::align_val_t) noexcept { std::free(p); }
void operator delete[](void* p, std::size_t, std::align_val_t) noexcept { std::free(p); }
void operator delete(void* p, const std::nothrow_t&) noexcept { std::free(p); }
void operator delete[](void* p, const std::nothrow_t&) noexcept { std::free(p); }
