#include "engine/text/at_once.h"

#include <atomic>
#include <stdexcept>
#include <vector>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

TEST_CASE("every piece is done once, by many threads or by one") {
  for (const bool alone : {false, true}) {
    std::vector<std::atomic<int>> done(10'000);
    const auto work = [&] { AtOnce(done.size(), [&](std::size_t piece) { ++done[piece]; }); };
    if (alone) {
      const AloneOnThread here;
      work();
    } else {
      work();
    }
    bool once = true;
    for (const std::atomic<int>& times : done) once = once && times == 1;
    CHECK(once);
  }
  AtOnce(0, [](std::size_t) { FAIL("there is no piece"); });
}

TEST_CASE("what goes wrong in a piece comes out, and no piece is begun after it") {
  std::atomic<int> begun = 0;
  const auto work = [&](std::size_t piece) {
    ++begun;
    if (piece == 3) throw std::bad_alloc();
  };
  CHECK_THROWS_AS(AtOnce(1'000'000, work), std::bad_alloc);
  CHECK(begun < 1'000'000);
  CHECK_THROWS_AS(AtOnce(4, work), std::bad_alloc);
}

}  // namespace
}  // namespace gearwhy
