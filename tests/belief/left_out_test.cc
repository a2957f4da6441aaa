// Where a case is too wide, reports are left out until it is not, and the chances are those of the others.
#include "engine/belief/left_out.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "engine/text/at.h"
#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// Each of the findings is caused by every fault, so that any two of them tie all faults together.
Network Entangled(int faults, int findings, const std::vector<double>& if_absent) {
  Network network;
  for (int f = 0; f < faults; ++f)
    network.events.push_back({"fault" + std::to_string(f), EventType::kFault, 0.02 + 0.01 * f, {}});
  for (int f = 0; f < findings; ++f) {
    Event finding{"finding" + std::to_string(f), EventType::kFinding, 0.01, {}};
    for (int cause = 0; cause < faults; ++cause) finding.causes.push_back({cause, 0.3 + 0.02 * (f + cause)});
    network.events.push_back(finding);
    network.reports.push_back({faults + f, true, 0.9, if_absent[At(f)]});
  }
  return network;
}

BeliefLimits Narrow(int width) {
  BeliefLimits limits;
  limits.max_width = width;
  limits.all_events = true;
  return limits;
}

TEST_CASE("what says least is left out, and no more than must be") {
  // The second says least: 0.9 against 0.8.
  const Network network = Entangled(6, 3, {0.05, 0.8, 0.1});
  CHECK(ReportsToLeaveOut(network, Narrow(24)).empty());
  int width = 24;
  while (ReportsToLeaveOut(network, Narrow(width)).empty()) --width;
  CHECK(ReportsToLeaveOut(network, Narrow(width)) == std::vector<int>{1});
}

TEST_CASE("with reports left out the chances are those of a network that never had them") {
  std::mt19937 random(4);
  int compared = 0;
  for (int trial = 0; trial < 600; ++trial) {
    RandomShape shape;
    shape.reports = 5;
    const Network network = RandomNetwork(random, shape);
    const BeliefLimits limits = Narrow(3);
    const std::vector<int> left_out = ReportsToLeaveOut(network, limits);
    if (left_out.empty()) continue;
    INFO("trial " << trial);
    const Network with = WithLeftOut(network, left_out);
    Network without = network;
    for (auto it = left_out.rbegin(); it != left_out.rend(); ++it)
      without.reports.erase(without.reports.begin() + *it);
    const BruteForce truth = AddUpEverything(without);
    const Chances chances = ComputeChances(with, limits);
    REQUIRE(ReportsToLeaveOut(with, limits).empty());
    if (!chances.exact || !std::isfinite(truth.logp_reports)) continue;
    ++compared;
    CHECK(std::abs(chances.logp_reports - truth.logp_reports) < 1e-9);
    for (std::size_t i = 0; i < network.events.size(); ++i)
      CHECK(std::abs(chances.p_event[i] - truth.p_event[i]) < 1e-9);
    // What is left out moves nothing, and takes nothing from what the others say.
    const Influence influence = ComputeInfluence(with, Narrow(24));
    const Influence of_others = ComputeInfluence(without, Narrow(24));
    std::size_t other = 0;
    for (std::size_t r = 0; r < network.reports.size(); ++r) {
      const bool is_out = std::binary_search(left_out.begin(), left_out.end(), static_cast<int>(r));
      for (std::size_t i = 0; i < network.events.size(); ++i) {
        const double expected = is_out ? 1 : of_others.odds_factor[other][i];
        CHECK((influence.odds_factor[r][i] == expected ||
               std::abs(influence.odds_factor[r][i] / expected - 1) < 1e-9));
      }
      other += !is_out;
    }
  }
  CHECK(compared > 20);
}

TEST_CASE("whatever is reported, enough is left out") {
  const Network network = Entangled(8, 6, {0.05, 0.1, 0.2, 0.3, 0.4, 0.5});
  for (int width = 3; width < 10; ++width) {
    const std::vector<int> left_out = ReportsToLeaveOut(network, Narrow(width));
    CHECK(left_out.size() < 6);
    CHECK(ComputeChances(WithLeftOut(network, left_out), Narrow(width)).exact);
  }
}

}  // namespace
}  // namespace gearwhy
