#include "engine/text/for_order.h"

#include <limits>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

TEST_CASE("what only rounding tells apart is a tie, and nothing else is") {
  CHECK(ForOrder(0.1 + 0.2) == ForOrder(0.3));
  CHECK(ForOrder(0.3) < ForOrder(0.3 * (1 + 1e-9)));
  CHECK(ForOrder(-0.3) > ForOrder(-0.3 * (1 + 1e-9)));
  CHECK(ForOrder(1e-300) > ForOrder(0.0));
  CHECK(ForOrder(0.0) == 0);
  CHECK(ForOrder(std::numeric_limits<double>::infinity()) == std::numeric_limits<double>::infinity());
}

}  // namespace
}  // namespace gearwhy
