// The sampled chances against brute force: true values lie within a few stated errors, at widths far too small for the exact tree.
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
  for (int trial = 0; trial < 150; ++trial) {
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
    for (size_t i = 0; i < network.events.size(); ++i) worst = std::max(worst, std::abs(chances.p_event[i] - truth.p_event[i]));
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

}  // namespace
}  // namespace gearwhy
