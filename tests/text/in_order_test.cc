// Results leave in the order in which they were asked for, whatever takes long, and what goes wrong comes
// out.
#include "engine/text/in_order.h"

#include <chrono>
#include <stdexcept>

#include "engine/text/at_once.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

using std::chrono::milliseconds;

TEST_CASE("results leave in order, though the first takes longest, and far more than the window holds") {
  std::vector<int> left;
  InOrder work;
  for (int i = 0; i < 1000; ++i) {
    REQUIRE(work.Add([&left, i]() -> InOrder::HandOn {
      if (i % 100 == 0) std::this_thread::sleep_for(milliseconds(5));
      return [&left, i] {
        left.push_back(i);
        return true;
      };
    }));
  }
  work.Finish();
  REQUIRE(left.size() == 1000);
  for (int i = 0; i < 1000; ++i) CHECK(left[static_cast<std::size_t>(i)] == i);
}

TEST_CASE("who waits for an answer before asking again gets it") {
  InOrder work;
  for (int i = 0; i < 20; ++i) {
    int answer = -1;
    REQUIRE(work.Add([&answer, i]() -> InOrder::HandOn {
      return [&answer, i] {
        answer = i;
        return true;
      };
    }));
    work.Wait();
    CHECK(answer == i);
  }
}

TEST_CASE("when nobody wants any more, nothing more is handed on, and adding says so") {
  int left = 0;
  InOrder work;
  bool wanted = true;
  for (int i = 0; i < 5000 && wanted; ++i)
    wanted = work.Add([&left]() -> InOrder::HandOn { return [&left] { return ++left < 10; }; });
  work.Finish();
  CHECK_FALSE(wanted);
  CHECK(left == 10);
}

TEST_CASE("an exception of a piece, and one of handing on, come out of finishing") {
  for (const bool in_the_piece : {true, false}) {
    InOrder work;
    work.Add([in_the_piece]() -> InOrder::HandOn {
      if (in_the_piece) throw std::runtime_error("piece");
      return []() -> bool { throw std::runtime_error("handing on"); };
    });
    CHECK_THROWS_AS(work.Finish(), std::runtime_error);
  }
}

TEST_CASE("work that is given up ends without being finished") {
  InOrder work;
  for (int i = 0; i < 50; ++i)
    work.Add([]() -> InOrder::HandOn {
      std::this_thread::sleep_for(milliseconds(1));
      return [] { return true; };
    });
}

TEST_CASE("inside a piece the work of one thread is not parted further") {
  bool same_thread = true;
  InOrder work;
  work.Add([&same_thread]() -> InOrder::HandOn {
    const std::thread::id here = std::this_thread::get_id();
    AtOnce(50, [&](std::size_t) { same_thread &= std::this_thread::get_id() == here; });
    return [] { return true; };
  });
  work.Finish();
  CHECK(same_thread);
}

}  // namespace
}  // namespace gearwhy
