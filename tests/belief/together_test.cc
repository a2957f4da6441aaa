// The most probable set of faults against brute force.
#include <algorithm>
#include <cmath>
#include <random>

#include "engine/belief/chances.h"
#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

TEST_CASE("the most probable set of faults equals brute force, ties included") {
  std::mt19937 random(4242);
  int ties = 0;
  int several = 0;
  for (int trial = 0; trial < 800; ++trial) {
    RandomShape shape;
    shape.faults = 1 + static_cast<int>(random() % 7);
    shape.states = static_cast<int>(random() % 4);
    shape.findings = 1 + static_cast<int>(random() % 3);
    shape.reports = 1 + static_cast<int>(random() % 5);
    Network network = RandomNetwork(random, shape);
    if (trial % 3 == 0) {
      // Faults that cannot be told apart.
      for (Event& event : network.events) {
        if (event.type == EventType::kFault) {
          event.p_unexplained = 0.125;
        } else {
          event.p_unexplained = 0;
        }
        for (Cause& cause : event.causes) cause.p_how_often = 0.75;
      }
    }
    const Ancestry ancestry = AncestorsOfReports(network);
    const BruteForce truth = AddUpEverything(ancestry.network);
    const Together together = MostProbableFaults(network);
    INFO("trial " << trial);
    CHECK(together.exact);
    if (!std::isfinite(truth.logp_reports)) {
      CHECK(together.faults.empty());
      CHECK(together.p_given_reports == 0);
      continue;
    }
    CHECK(std::abs(together.p_given_reports - truth.p_best) < 1e-9);
    // Of equals the fewest faults, then the lowest indices.
    const auto expected = std::min_element(
        truth.best_faults.begin(), truth.best_faults.end(),
        [](const auto& a, const auto& b) { return a.size() != b.size() ? a.size() < b.size() : a < b; });
    std::vector<int> faults;
    for (int fault : *expected) faults.push_back(ancestry.kept[static_cast<size_t>(fault)]);
    CHECK(together.faults == faults);
    ties += truth.best_faults.size() > 1;
    several += faults.size() > 1;
  }
  CHECK(ties >= 10);
  CHECK(several >= 30);
}

}  // namespace
}  // namespace gearwhy
