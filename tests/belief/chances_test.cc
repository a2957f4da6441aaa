// The exact chances against brute force.
#include "engine/belief/chances.h"

#include <cmath>
#include <random>

#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

RandomShape SmallShape(std::mt19937& random, int trial) {
  RandomShape shape;
  if (trial % 50 == 49) {
    shape.faults = 12 + static_cast<int>(random() % 5);
    shape.states = 2;
    shape.findings = 1;
    shape.most_causes = 6;
  } else {
    shape.faults = 1 + static_cast<int>(random() % 5);
    shape.states = static_cast<int>(random() % 5);
    shape.findings = 1 + static_cast<int>(random() % 4);
  }
  shape.reports = static_cast<int>(random() % 6);
  return shape;
}

TEST_CASE("exact chances equal brute force on random networks of several layers") {
  std::mt19937 random(20240501);
  int possible = 0;
  for (int trial = 0; trial < 1000; ++trial) {
    const Network network = RandomNetwork(random, SmallShape(random, trial));
    const BruteForce truth = AddUpEverything(network);
    BeliefLimits limits;
    limits.all_events = true;
    const Chances chances = ComputeChances(network, limits);
    INFO("trial " << trial);
    REQUIRE(chances.exact);
    REQUIRE(chances.possible == std::isfinite(truth.logp_reports));
    if (!chances.possible) {
      Network unreported = network;
      unreported.reports.clear();
      const BruteForce prior = AddUpEverything(unreported);
      for (size_t i = 0; i < network.events.size(); ++i)
        CHECK(std::abs(chances.p_event[i] - prior.p_event[i]) < 1e-9);
      continue;
    }
    ++possible;
    CHECK(std::abs(chances.logp_reports - truth.logp_reports) < 1e-9);
    for (size_t i = 0; i < network.events.size(); ++i) {
      INFO("event " << i);
      REQUIRE(std::abs(chances.p_event[i] - truth.p_event[i]) < 1e-9);
      REQUIRE(std::abs(chances.p_by_itself[i] - truth.p_by_itself[i]) < 1e-9);
    }
    // The quick question agrees where it answers, and answers for every fault and every ancestor of a report.
    const Chances quick = ComputeChances(network);
    const Ancestry ancestry = AncestorsOfReports(network);
    for (size_t i = 0; i < network.events.size(); ++i) {
      const bool must = network.events[i].causes.empty() || ancestry.index_of[i] >= 0;
      REQUIRE(std::isnan(quick.p_event[i]) == !must);
      if (must) REQUIRE(std::abs(quick.p_event[i] - truth.p_event[i]) < 1e-9);
    }
  }
  CHECK(possible >= 700);
}

}  // namespace
}  // namespace gearwhy
