#include "engine/bench/verdict.h"

#include <cmath>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

double Density(double z) { return std::exp(-z * z / 2) / std::sqrt(2 * std::acos(-1.0)); }

// How far a reading moves the odds.
double Moves(const Measured& measured, double limit, const Population& population) {
  const ReadingChances chances = ChancesOfReading(measured, limit, Side::kBelow, population);
  return chances.p_if_beyond / chances.p_if_inside;
}

const Population kParts = {0.15, 0.2, 0.01};

TEST_CASE("the chance beyond a limit is that of the normal distribution") {
  // JCGM 106:2012, clause 7, with the standard normal table: Φ(-1) = 0.1587, Φ(-2) = 0.0228, Φ(1.645) = 0.95.
  // From memory.
  CHECK(ChanceBeyond({11, 1}, 10, Side::kBelow) == Approx(0.1587).margin(5e-5));
  CHECK(ChanceBeyond({8, 1}, 10, Side::kAbove) == Approx(0.0228).margin(5e-5));
  CHECK(ChanceBeyond({10 - 1.645, 1}, 10, Side::kBelow) == Approx(0.95).margin(5e-5));
  CHECK(ChanceBeyond({10, 1}, 10, Side::kBelow) == 0.5);
}

TEST_CASE("a verdict is given where the reading is clear by the guard band of twice its doubt") {
  // JCGM 106:2012, clause 8: with w = U = 2u at most 2.3 in 100 are accepted wrongly at one limit. From
  // memory.
  CHECK(StandTo({10.2, 0.1}, 10, Side::kBelow) == Stand::kInside);
  CHECK(StandTo({10.19, 0.1}, 10, Side::kBelow) == Stand::kCannotTell);
  CHECK(StandTo({9.81, 0.1}, 10, Side::kBelow) == Stand::kCannotTell);
  CHECK(StandTo({9.8, 0.1}, 10, Side::kBelow) == Stand::kBeyond);
  CHECK(StandTo({10.2, 0.1}, 10, Side::kAbove) == Stand::kBeyond);
  CHECK(ChanceBeyond({10.2, 0.1}, 10, Side::kBelow) < 0.023);
}

TEST_CASE("a better instrument never makes the verdict about one limit less certain") {
  for (double value = 9; value <= 11; value += 0.05) {
    double certain = -1;
    for (double u = 1; u > 0.001; u *= 0.8) {
      const double now = std::abs(ChanceBeyond({value, u}, 10, Side::kBelow) - 0.5);
      CHECK(now >= certain - 1e-12);
      certain = now;
    }
  }
}

// Bayes' rule done by adding up: parts spread about a mean of which a share q lies beyond the limit, each
// read with its doubt.
TEST_CASE("a reading moves the odds as Bayes' rule by brute force has it") {
  const double limit = 1.2, q = 0.3, spread = 0.1;
  const Population population = {spread, q, 0};
  const double z0 = 0.5244005127;  // Φ⁻¹(0.7), standard normal table
  const double mean = limit + z0 * spread;
  for (const double u : {0.005, 0.03, 0.1, 0.5}) {
    for (const double value : {1.05, 1.18, 1.2, 1.22, 1.4}) {
      double beyond = 0, inside = 0;
      const double step = spread / 50000;
      for (double t = mean - 8 * spread; t < mean + 8 * spread; t += step) {
        const double weight = Density((t - mean) / spread) * Density((value - t) / u);
        (t + step / 2 < limit ? beyond : inside) += weight;
      }
      INFO(u << " " << value);
      const double moved = (beyond / inside) / (q / (1 - q));
      if (std::abs(std::log(moved)) > 30) continue;  // beyond the digits of a chance
      CHECK(std::log(Moves({value, u}, limit, population)) == Approx(std::log(moved)).margin(0.005));
    }
  }
}

TEST_CASE("a useless instrument moves nothing") {
  for (const double value : {0.1, 1.2, 5.0})
    CHECK(Moves({value, 1000}, 1.2, kParts) == Approx(1).margin(0.01));
}

TEST_CASE("a reading well inside never speaks for the fault, whatever the instrument") {
  for (const double u : {0.001, 0.01, 0.05, 0.2, 1.0}) {
    for (double inside = 2 * u; inside < 10 * u + 1; inside += u)
      CHECK(Moves({1.2 + inside, u}, 1.2, kParts) < 1);
  }
}

TEST_CASE("a fine reading on the limit moves the odds by about four and no more") {
  CHECK(Moves({1.2, 1e-6}, 1.2, kParts) == Approx(4).margin(0.05));
  for (const double p : {1e-6, 0.01, 0.2, 0.5, 0.9}) CHECK(Moves({1.2, 1e-6}, 1.2, {0.15, p, 0.01}) < 4.05);
}

TEST_CASE("there is no step at the limit, and the chances stay chances") {
  const double u = 0.03;
  double before = Moves({1.0, u}, 1.2, kParts);
  for (double value = 1.0; value < 1.4; value += 0.0005) {
    const double now = Moves({value, u}, 1.2, kParts);
    CHECK(now <= before + 1e-12);
    CHECK(std::log(before / now) < 0.1);
    before = now;
    const ReadingChances chances = ChancesOfReading({value, u}, 1.2, Side::kBelow, kParts);
    CHECK((chances.p_if_beyond >= 0 && chances.p_if_beyond <= 1));
    CHECK((chances.p_if_inside >= 0 && chances.p_if_inside <= 1));
    CHECK(DensityAt({value, u}, 1.2, Side::kBelow, kParts) <= 1);
  }
}

// Of a hundred readings one is of something else: with the odds that it had before, a finding far beyond its
// limit is so in 99 of 100 cases, as it is by the same trust in words (report_chances.h).
TEST_CASE("a reading far beyond is believed as its trust says, however rare the finding") {
  for (const double p : {0.001, 0.01, 0.2, 0.5}) {
    const double odds = Moves({0.01, 0.001}, 1.2, {0.15, p, 0.01}) * p / (1 - p);
    CHECK(odds / (1 + odds) == Approx(0.99 + 0.01 * p));
    const double far_inside = Moves({9.0, 0.001}, 1.2, {0.15, p, 0.01}) * p / (1 - p);
    CHECK(far_inside / (1 + far_inside) == Approx(0.01 * p));
  }
}

TEST_CASE("which instrument could tell is the chance that its reading is clear") {
  const Instrument fine = {"fine", "", Dimension::kLength, 0, 0.005, 0, {}};
  // By adding up over what it would read, N(x, u² + u'²).
  const std::vector<std::vector<Limit>> all = {{{1.2, Side::kBelow}},
                                               {{1.2, Side::kBelow}, {1.3, Side::kAbove}},
                                               {{1.2, Side::kBelow}, {1.21, Side::kAbove}}};
  for (const auto& limits : all) {
    const Measured read = {1.21, 0.03};
    const double wide = std::hypot(0.03, 0.005);
    double tells = 0;
    const double step = wide / 5000;
    for (double x = read.value - 8 * wide; x < read.value + 8 * wide; x += step) {
      bool inside = true, beyond = false;
      for (const Limit& limit : limits) {
        const Stand stand = StandTo({x + step / 2, 0.005}, limit.limit, limit.side);
        inside &= stand == Stand::kInside;
        beyond |= stand == Stand::kBeyond;
      }
      if (inside || beyond) tells += Density((x + step / 2 - read.value) / wide) * step / wide;
    }
    CHECK(ChanceToTell(read, fine, limits) == Approx(tells).margin(1e-3));
  }
}

TEST_CASE("limits closer together than four times the doubt leave nothing to be within") {
  CHECK(NeverInside(0.03, {{1.0, Side::kBelow}, {1.11, Side::kAbove}}));
  CHECK_FALSE(NeverInside(0.03, {{1.0, Side::kBelow}, {1.13, Side::kAbove}}));
  CHECK_FALSE(NeverInside(10, {{1.0, Side::kBelow}}));
}

}  // namespace
}  // namespace gearwhy
