// What renewing is worth, against adding up every way in which it can come.
#include "engine/bench/renewing.h"

#include <cmath>
#include <random>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// By hand: a part of 10 minutes, 430 to come back for it, 6 in 100 as it is, half in 100 renewed. Used again
// it costs 0.06 × 440 = 26.4, renewed 10 + 0.005 × 440 = 12.2; alike at 0.005 + 10/440 = 0.02773.
TEST_CASE("a part that is cheap now and dear to come back for is renewed") {
  const Renewal renewal = WeighRenewal({10, 430}, 0.06, 0.005);
  CHECK(renewal.if_used == Approx(26.4));
  CHECK(renewal.if_renewed == Approx(12.2));
  CHECK(renewal.p_even == Approx(0.0277272727));
  CHECK(renewal.worth);
  CHECK_FALSE(WeighRenewal({10, 430}, 0.027, 0.005).worth);
  CHECK(WeighRenewal({10, 430}, 0.028, 0.005).worth);
}

TEST_CASE("at the chance where both are alike they cost the same, and renewing is not advised below it") {
  std::mt19937 random(1);
  std::uniform_real_distribution<double> cost(0, 500), chance(0, 1);
  for (int i = 0; i < 2000; ++i) {
    const RenewalCosts costs{cost(random), cost(random)};
    const double p_as_is = chance(random), p_renewed = chance(random);
    const Renewal renewal = WeighRenewal(costs, p_as_is, p_renewed);
    const Renewal even = WeighRenewal(costs, renewal.p_even, p_renewed);
    CHECK(even.if_used == Approx(even.if_renewed));
    if (std::abs(p_as_is - renewal.p_even) > 1e-9) CHECK(renewal.worth == (p_as_is > renewal.p_even));
    if (p_as_is <= p_renewed) CHECK_FALSE(renewal.worth);
  }
}

TEST_CASE("what is worth renewing stays so when it comes back more often, or coming back is dearer") {
  std::mt19937 random(2);
  std::uniform_real_distribution<double> cost(0, 500), chance(0, 1);
  for (int i = 0; i < 2000; ++i) {
    const double renew = cost(random), come_back = cost(random), more = cost(random);
    const double p_as_is = chance(random), p_renewed = chance(random);
    if (!WeighRenewal({renew, come_back}, p_as_is, p_renewed).worth) continue;
    const double p_more = p_as_is + (1 - p_as_is) * chance(random);
    CHECK(WeighRenewal({renew, come_back}, p_more, p_renewed).worth);
    CHECK(WeighRenewal({renew, come_back + more}, p_as_is, p_renewed).worth);
  }
}

TEST_CASE(
    "what costs nothing to come back for is not renewed, and what costs nothing at all does not matter") {
  CHECK_FALSE(WeighRenewal({10, 0}, 0.9, 0.1).worth);
  CHECK_FALSE(WeighRenewal({0, 0}, 0.9, 0.1).worth);
  CHECK(WeighRenewal({0, 0}, 0.9, 0.1).p_even == 1);
  CHECK(WeighRenewal({10, 1}, 0.9, 0.2).p_even > 1);
}

// All choices of what to renew, and of each all ways in which parts come back: the sum over the ways of
// chance times cost. No choice costs less than renewing what is worth it by itself.
TEST_CASE("part by part is the best choice of all, added up over every way it can come") {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> cost(1, 200), chance(0, 0.3);
  constexpr unsigned kParts = 5, kWays = 1U << kParts;
  for (int round = 0; round < 50; ++round) {
    std::vector<RenewalCosts> costs;
    std::vector<double> as_is, renewed;
    unsigned advised = 0;
    for (unsigned i = 0; i < kParts; ++i) {
      costs.push_back({cost(random) / 5, cost(random)});
      as_is.push_back(chance(random));
      renewed.push_back(chance(random) / 3);
      if (WeighRenewal(costs[i], as_is[i], renewed[i]).worth) advised |= 1U << i;
    }
    double best = HUGE_VAL, of_advised = 0;
    for (unsigned choice = 0; choice < kWays; ++choice) {
      double expected = 0, p_any = 0;
      std::vector<double> chances;
      for (unsigned i = 0; i < kParts; ++i)
        chances.push_back((choice >> i & 1U) != 0 ? renewed[i] : as_is[i]);
      for (unsigned way = 0; way < kWays; ++way) {
        double p = 1, sum = 0;
        for (unsigned i = 0; i < kParts; ++i) {
          const bool back = (way >> i & 1U) != 0;
          p *= back ? chances[i] : 1 - chances[i];
          if ((choice >> i & 1U) != 0) sum += costs[i].renew;
          if (back) sum += costs[i].come_back + costs[i].renew;
        }
        expected += p * sum;
        if (way != 0) p_any += p;
      }
      CHECK(AnyOf(chances) == Approx(p_any));
      best = std::min(best, expected);
      if (choice == advised) of_advised = expected;
    }
    CHECK(of_advised == Approx(best));
  }
}

TEST_CASE("any of none is none, and of one that always comes it is certain") {
  CHECK(AnyOf({}) == 0);
  CHECK(AnyOf({0.1, 1, 0.2}) == 1);
  CHECK(AnyOf({0.1, 0.2}) == Approx(0.28));
}

}  // namespace
}  // namespace gearwhy
