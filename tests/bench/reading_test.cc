#include "engine/bench/reading.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

const Instrument kCaliper = {"caliper", "a caliper", Dimension::kLength, 0.02, 0.02, 0.02, {}};
const Instrument kExact = {"step", "a step", Dimension::kLength, 0.05, 0, 0, {}};

TEST_CASE("a single reading has the doubt of the instrument's scale, of repeating and of its bias") {
  // JCGM 100:2008, F.2.2.1: a digital step of 1 has a standard uncertainty of 0.29; 5.1.2: root of the sum of
  // squares. From memory.
  CHECK(MeasuredBy({"", "", Dimension::kNumber, 1, 0, 0, {}}, {7}).u == Approx(0.29).margin(0.002));
  CHECK(MeasuredBy(kCaliper, {1.6}).u == Approx(std::sqrt(0.0004 + 0.0004 / 12 + 0.0004)));
}

TEST_CASE(
    "repeating makes the doubt of the mean smaller by the root of the number, never below step and bias") {
  // JCGM 100:2008, 4.2.3: s/√n. From memory.
  const Instrument only_repeats = {"", "", Dimension::kLength, 0, 0.06, 0, {}};
  CHECK(MeasuredBy(only_repeats, {1, 1, 1, 1}).u == Approx(0.03));
  CHECK(MeasuredBy(kExact, std::vector<double>(16, 1.0)).u == Approx(0.05 / std::sqrt(12)));
}

TEST_CASE("the spread of five readings and more takes the place of the instrument's, where it is larger") {
  const std::vector<double> wide = {1.0, 1.2, 0.8, 1.1, 0.9};  // s = 0.1581
  const double s = std::sqrt((0.04 + 0.04 + 0.01 + 0.01) / 4);
  CHECK(MeasuredBy(kCaliper, wide).u == Approx(std::sqrt(s * s / 5 + 0.0004 / 12 + 0.0004)));
  CHECK(MeasuredBy(kCaliper, wide).uneven);
  CHECK(MeasuredBy(kCaliper, std::vector<double>(5, 1.0)).u ==
        Approx(std::sqrt(0.0004 / 5 + 0.0004 / 12 + 0.0004)));
  CHECK_FALSE(MeasuredBy(kCaliper, {1.00, 1.03, 0.98}).uneven);
}

TEST_CASE("the order of readings changes not a digit") {
  std::mt19937 random(20261128);
  std::vector<double> values = {1.58, 1.61, 1.60, 1.57, 1.63, 1.59};
  const Measured first = MeasuredBy(kCaliper, values);
  for (int i = 0; i < 50; ++i) {
    std::shuffle(values.begin(), values.end(), random);
    CHECK(MeasuredBy(kCaliper, values).value == first.value);
    CHECK(MeasuredBy(kCaliper, values).u == first.u);
  }
  const Together one = MeasuredTogether({{1, 0.1}, {1.2, 0.05}, {0.9, 0.2}});
  const Together other = MeasuredTogether({{0.9, 0.2}, {1, 0.1}, {1.2, 0.05}});
  CHECK(one.measured.value == other.measured.value);
  CHECK(one.measured.u == other.measured.u);
}

TEST_CASE("instruments that agree are weighed by their doubt; those that contradict each other are named") {
  const Together agree = MeasuredTogether({{10.0, 1.0}, {10.5, 1.0}});
  CHECK(agree.measured.value == Approx(10.25));
  CHECK(agree.measured.u == Approx(1 / std::sqrt(2)));
  CHECK_FALSE(agree.contradict);
  CHECK(MeasuredTogether({{10.0, 0.1}, {20.0, 10.0}}).measured.value == Approx(10.0).margin(0.01));
  const Together contradict = MeasuredTogether({{1.1, 0.02}, {1.5, 0.04}});
  CHECK(contradict.contradict);
  CHECK(contradict.measured.u > 0.1);  // neither is believed as far as it says
  // Just within and just beyond three standard uncertainties of the difference.
  CHECK_FALSE(MeasuredTogether({{0, 3}, {14.9, 4}}).contradict);
  CHECK(MeasuredTogether({{0, 3}, {15.1, 4}}).contradict);
}

}  // namespace
}  // namespace gearwhy
