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

// A whole: present whenever one of its parts is. Parts of which nothing is known make way for their causes.
TEST_CASE("wholes of findings equal brute force, reported or not, certain or not") {
  std::mt19937 random(77);
  int compared = 0, joined = 0, wanted = 0;
  for (int trial = 0; trial < 600; ++trial) {
    INFO("trial " << trial);
    RandomShape shape;
    shape.findings = 5;
    shape.reports = static_cast<int>(random() % 2);
    Network network = RandomNetwork(random, shape);
    std::vector<int> parts;
    for (std::size_t i = 0; i < network.events.size(); ++i) {
      if (network.events[i].type == EventType::kFinding) parts.push_back(static_cast<int>(i));
    }
    for (int wholes = 0; wholes < 2; ++wholes) {
      Event whole{"whole", EventType::kFinding, 0.001, {}};
      for (const int part : parts) {
        if (random() % 3 != 0) whole.causes.push_back({part, random() % 5 == 0 ? 0.7 : 1.0});
      }
      const double missed = random() % 2 == 0 ? 0 : 0.05, mistaken = random() % 2 == 0 ? 0 : 0.02;
      const bool present = random() % 2 == 0;
      const int index = static_cast<int>(network.events.size());
      network.reports.push_back(present ? Report{index, true, 1 - missed, mistaken}
                                        : Report{index, false, missed, 1 - mistaken});
      network.events.push_back(whole);
      parts.push_back(index);  // the second may have the first for a part
    }
    const BruteForce truth = AddUpEverything(network);
    BeliefLimits limits;
    if (trial % 2 == 0) limits.all_events = true;
    const Chances chances = ComputeChances(network, limits);
    REQUIRE(chances.exact);
    if (!std::isfinite(truth.logp_reports)) continue;
    CHECK(std::abs(chances.logp_reports - truth.logp_reports) < 1e-9);
    for (std::size_t i = 0; i < network.events.size(); ++i) {
      if (std::isnan(chances.p_event[i])) {
        if (AncestorsOfReports(network).index_of[i] < 0) continue;
        ++joined;
        CHECK(network.events[i].type == EventType::kFinding);
        continue;
      }
      wanted += network.events[i].type == EventType::kFinding;
      CHECK(std::abs(chances.p_event[i] - truth.p_event[i]) < 1e-9);
      CHECK(std::abs(chances.p_by_itself[i] - truth.p_by_itself[i]) < 1e-9);
      ++compared;
    }
  }
  CHECK(compared > 4000);
  CHECK(joined > 200);
  CHECK(wanted > 500);
}

}  // namespace
}  // namespace gearwhy
