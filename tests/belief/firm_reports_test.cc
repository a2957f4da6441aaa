// Taking good looks for certain: the chances stay as near to the exact ones as is said.
#include "engine/belief/firm_reports.h"

#include <cmath>
#include <random>

#include "engine/text/at.h"
#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

double Draw(std::mt19937_64& random, double least, double most) {
  return least + (most - least) * static_cast<double>(random() >> 11) * 0x1.0p-53;
}

// Faults that bring about findings: the first is reported present, all others were looked for and not found,
// each by a look that overlooks a little.
Network Looked(std::mt19937_64& random, int faults, int findings) {
  Network network;
  for (int f = 0; f < faults; ++f)
    network.events.push_back({"fault" + std::to_string(f), EventType::kFault, Draw(random, 0.01, 0.2), {}});
  for (int f = 0; f < findings; ++f) {
    Event finding{"finding" + std::to_string(f), EventType::kFinding, Draw(random, 0, 0.02), {}};
    for (int cause = 0; cause < faults; ++cause) {
      if (f == 0 || random() % 2 == 0) finding.causes.push_back({cause, Draw(random, 0.1, 0.95)});
    }
    network.events.push_back(finding);
    network.reports.push_back(
        {faults + f, f == 0, f == 0 ? 0.9 : Draw(random, 0.005, 0.05), f == 0 ? 0.05 : 0.995});
  }
  return network;
}

TEST_CASE("taken for certain, good looks leave every chance as near as is said") {
  std::mt19937_64 random(20261129);
  int taken = 0;
  for (int round = 0; round < 60; ++round) {
    const Network network = Looked(random, 8, 6);
    std::vector<int> may_be;
    for (int r = 1; r < 6; ++r) may_be.push_back(r);
    // What would do for all of it is kept from it.
    BeliefLimits narrow;
    narrow.max_width = 3;
    narrow.all_events = true;
    const FirmReports firm =
        TakeForCertain(network, SurestFirst(network, may_be, narrow), narrow, {0.005, 0.03, 0.1, 1});
    if (firm.reports.empty()) continue;
    ++taken;
    const BruteForce exact = AddUpEverything(network);
    for (int fault = 0; fault < 8; ++fault) {
      INFO("round " << round << ", fault " << fault);
      CHECK(std::abs(firm.chances.p_event[At(fault)] - exact.p_event[At(fault)]) <= firm.error + 1e-9);
    }
  }
  CHECK(taken > 20);
}

TEST_CASE("nothing is taken for certain that may be wrong by more than is allowed") {
  std::mt19937_64 random(7);
  const Network network = Looked(random, 8, 6);
  BeliefLimits narrow;
  narrow.max_width = 3;
  CHECK(
      TakeForCertain(network, SurestFirst(network, {1, 2, 3, 4, 5}, narrow), narrow, {0.0}).reports.empty());
  CHECK(TakeForCertain(network, {}, narrow, {0.005, 0.03, 0.1, 1}).reports.empty());
}

}  // namespace
}  // namespace gearwhy
