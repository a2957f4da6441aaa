// Influence and what-if against brute force, and influence against Good's weight of evidence.
#include <algorithm>
#include <cmath>
#include <random>

#include "engine/belief/chances.h"
#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

Network SmallNetwork(std::mt19937& random) {
  RandomShape shape;
  shape.faults = 1 + static_cast<int>(random() % 5);
  shape.states = static_cast<int>(random() % 4);
  shape.findings = 1 + static_cast<int>(random() % 3);
  shape.reports = static_cast<int>(random() % 4);
  return RandomNetwork(random, shape);
}

TEST_CASE("the influence of a report is the ratio of the odds with and without it") {
  std::mt19937 random(99);
  int compared = 0;
  for (int trial = 0; trial < 500; ++trial) {
    const Network network = SmallNetwork(random);
    const BruteForce with = AddUpEverything(network);
    const Influence influence = ComputeInfluence(network);
    const Ancestry ancestry = AncestorsOfReports(network);
    REQUIRE(influence.odds_factor.size() == network.reports.size());
    for (size_t k = 0; k < network.reports.size(); ++k) {
      Network fewer = network;
      fewer.reports.erase(fewer.reports.begin() + static_cast<std::ptrdiff_t>(k));
      const BruteForce without = AddUpEverything(fewer);
      for (size_t i = 0; i < network.events.size(); ++i) {
        INFO("trial " << trial << " report " << k << " event " << i);
        const double factor = influence.odds_factor[k][i];
        if (!std::isfinite(with.logp_reports) || ancestry.index_of[i] < 0) {
          CHECK(factor == 1);
          continue;
        }
        const double p = with.p_event[i];
        const double q = without.p_event[i];
        if (p < 1e-13 || p > 1 - 1e-13) {
          // Certain with the report. The oracle's own 1 may be off by rounding.
          if (q < 1e-13 || q > 1 - 1e-13) {
            CHECK(std::abs(factor - 1) < 1e-9);
          } else {
            CHECK((p < 0.5 ? factor < 1e-9 : factor > 1e9));
          }
          continue;
        }
        ++compared;
        const double expected = p / (1 - p) * (1 - q) / q;
        CHECK(std::abs(factor / expected - 1) < 1e-9);
      }
    }
  }
  CHECK(compared > 1500);
}

// Good 1950, Probability and the Weighing of Evidence: odds after = odds before times likelihood ratio.
TEST_CASE("independent reports of a lone fault multiply its odds by their likelihood ratios") {
  Network network;
  network.events.push_back({"fault", EventType::kFault, 0.02, {}});
  network.reports = {{0, true, 0.9, 0.1}, {0, false, 0.25, 0.5}, {0, true, 0.6, 0.2}};
  const double odds = 0.02 / 0.98 * 9 * 0.5 * 3;
  CHECK(std::abs(ComputeChances(network).p_event[0] - odds / (1 + odds)) < 1e-12);
  const Influence influence = ComputeInfluence(network);
  CHECK(std::abs(influence.odds_factor[0][0] - 9) < 1e-9);
  CHECK(std::abs(influence.odds_factor[1][0] - 0.5) < 1e-9);
  CHECK(std::abs(influence.odds_factor[2][0] - 3) < 1e-9);
}

}  // namespace
}  // namespace gearwhy
