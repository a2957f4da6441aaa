// The sampled chances against brute force: true values lie within a few stated errors, at widths far too
// small for the exact tree.
#include <algorithm>
#include <cmath>
#include <random>

#include "engine/belief/chances.h"
#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

TEST_CASE("sampled chances lie within three stated errors of the truth") {
  std::mt19937 random(77);
  int sampled = 0;
  int off = 0;
  int logp_off = 0;
  double sum_error = 0;
  for (int trial = 0; trial < 240; ++trial) {
    RandomShape shape;
    shape.faults = 5;
    shape.states = 4;
    shape.findings = 5;
    shape.reports = 5;
    shape.most_causes = 4;
    shape.extremes = trial % 3 == 0;
    Network network = RandomNetwork(random, shape);
    if (trial % 2 == 0) {
      for (Event& event : network.events) {
        if (event.type == EventType::kFault) event.p_unexplained *= 0.02;  // rare faults, as in practice
      }
    }
    BeliefLimits limits;
    limits.max_width = 3;
    limits.samples = 4000;
    limits.all_events = true;
    const BruteForce truth = AddUpEverything(network);
    const Chances chances = ComputeChances(network, limits);
    if (chances.exact || !std::isfinite(truth.logp_reports)) continue;
    INFO("trial " << trial);
    CHECK(chances.possible);
    ++sampled;
    sum_error += chances.error;
    double worst = 0;
    for (size_t i = 0; i < network.events.size(); ++i) {
      worst = std::max(worst, std::abs(chances.p_event[i] - truth.p_event[i]));
    }
    off += worst > 3 * chances.error;
    logp_off += std::abs(chances.logp_reports - truth.logp_reports) > 3 * chances.logp_error + 1e-9;
    const Chances again = ComputeChances(network, limits);
    CHECK(again.p_event == chances.p_event);
  }
  CHECK(sampled >= 80);
  CHECK(off <= sampled / 50);
  CHECK(logp_off <= sampled / 50);
  CHECK(sum_error / sampled < 0.08);
}

TEST_CASE("the influence of reports on networks too wide are near the truth and say so") {
  std::mt19937 random(78);
  int sampled = 0;
  int compared = 0;
  int off = 0;
  int factors = 0;
  int factors_off = 0;
  for (int trial = 0; trial < 120; ++trial) {
    RandomShape shape;
    shape.faults = 4;
    shape.states = 4;
    shape.findings = 4;
    shape.reports = 4;
    shape.most_causes = 4;
    shape.extremes = false;
    const Network network = RandomNetwork(random, shape);
    BeliefLimits limits;
    limits.max_width = 3;
    const BruteForce truth = AddUpEverything(network);
    if (ComputeChances(network, limits).exact || !std::isfinite(truth.logp_reports)) continue;
    ++sampled;
    const Influence influence = ComputeInfluence(network, limits);
    CHECK_FALSE(influence.exact);
    for (size_t k = 0; k < network.reports.size(); ++k) {
      const bool certain = network.reports[k].p_if_present <= 0 || network.reports[k].p_if_absent <= 0;
      Network fewer = network;
      fewer.reports.erase(fewer.reports.begin() + static_cast<std::ptrdiff_t>(k));
      const BruteForce without = AddUpEverything(fewer);
      for (size_t i = 0; i < network.events.size(); ++i) {
        const double p = truth.p_event[i];
        const double q = without.p_event[i];
        const Ancestry ancestry = AncestorsOfReports(network);
        if (ancestry.index_of[i] < 0 || p < 0.1 || p > 0.9 || q < 0.1 || q > 0.9) continue;
        if (certain) {  // not worked out from samples
          CHECK(influence.odds_factor[k][i] == 1);
          continue;
        }
        ++factors;
        factors_off += std::abs(std::log(influence.odds_factor[k][i] * (1 - p) / p * q / (1 - q))) > 0.3;
      }
    }
  }
  CHECK(sampled >= 20);
  CHECK(off <= compared / 50);
  CHECK(factors >= 100);
  CHECK(factors_off <= factors / 50);
}

}  // namespace
}  // namespace gearwhy
