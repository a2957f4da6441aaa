// How numbers are put for people: chances, odds, minutes.
#include "engine/render/page.h"

#include <limits>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

TEST_CASE("a chance is said of a hundred, and of as many more as it needs, in whole numbers below ten") {
  CHECK(ShowChance(0.5) == "50 in 100");
  CHECK(ShowChance(0.01) == "1 in 100");
  CHECK(ShowChance(0.0096) == "1 in 100");
  CHECK(ShowChance(0.0094) == "9 in 1000");
  CHECK(ShowChance(0.001) == "1 in 1000");
  CHECK(ShowChance(0.00096) == "1 in 1000");
  CHECK(ShowChance(0.00094) == "9 in 10000");
  CHECK(ShowChance(0.0001) == "1 in 10000");
  CHECK(ShowChance(0.00001) == "less than 1 in 10000");
  CHECK(ShowChance(0) == "less than 1 in 10000");
}

TEST_CASE("a chance that nobody has worked out is no small chance") {
  CHECK(ShowChance(std::numeric_limits<double>::quiet_NaN()) == "not worked out");
}

TEST_CASE("what is all but certain is said of a thousand, and never certain") {
  CHECK(ShowChance(0.994) == "99 in 100");
  CHECK(ShowChance(0.9951) == "995 in 1000");
  CHECK(ShowChance(0.9994) == "999 in 1000");
  CHECK(ShowChance(0.9995) == "more than 999 in 1000");
  CHECK(ShowChance(1) == "more than 999 in 1000");
}

TEST_CASE("minutes become hours from sixty on") {
  CHECK(ShowMinutes(59.4) == "59 min");
  CHECK(ShowMinutes(60) == "1 h");
  CHECK(ShowMinutes(446) == "7 h 26 min");
}

TEST_CASE("odds are multiplied or divided, and said to be settled at either end") {
  CHECK(ShowOddsFactor(0) == "rules it out");
  CHECK(ShowOddsFactor(1.0 / 0.0) == "settles it");
  CHECK(ShowOddsFactor(2) == "odds × 2");
  CHECK(ShowOddsFactor(0.5) == "odds ÷ 2");
}

}  // namespace
}  // namespace gearwhy
