// Influence and what-if against brute force, and influence against Good's weight of evidence.
#include <algorithm>
#include <cmath>
#include <random>

#include "engine/belief/chances.h"
#include "engine/belief/compiled_network.h"
#include "engine/text/at.h"
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

// `events`: as for ComputeInfluence. Returns how many finite factors there were to compare.
int CompareWithBruteForce(const Network& network, const std::vector<int>& events) {
  int compared = 0;
  const BruteForce with = AddUpEverything(network);
  const Influence influence = ComputeInfluence(network, {}, events);
  const Ancestry ancestry = AncestorsOfReports(network);
  REQUIRE(influence.odds_factor.size() == network.reports.size());
  for (size_t k = 0; k < network.reports.size(); ++k) {
    Network fewer = network;
    fewer.reports.erase(fewer.reports.begin() + static_cast<std::ptrdiff_t>(k));
    const BruteForce without = AddUpEverything(fewer);
    for (size_t i = 0; i < network.events.size(); ++i) {
      INFO("report " << k << " event " << i);
      const double factor = influence.odds_factor[k][i];
      const bool wanted =
          events.empty() || std::find(events.begin(), events.end(), static_cast<int>(i)) != events.end();
      if (!std::isfinite(with.logp_reports) || ancestry.index_of[i] < 0 || !wanted) {
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
  return compared;
}

TEST_CASE("the influence of a report is the ratio of the odds with and without it") {
  std::mt19937 random(99);
  int compared = 0;
  for (int trial = 0; trial < 500; ++trial) {
    INFO("trial " << trial);
    compared += CompareWithBruteForce(SmallNetwork(random), {});
  }
  CHECK(compared > 1500);
}

// Findings that are parts of others (a link of 1), and up to six reports.
Network NetworkWithParts(std::mt19937& random) {
  RandomShape shape;
  shape.faults = 1 + static_cast<int>(random() % 4);
  shape.states = static_cast<int>(random() % 3);
  shape.findings = 2 + static_cast<int>(random() % 3);
  shape.reports = 1 + static_cast<int>(random() % 6);
  Network network = RandomNetwork(random, shape);
  for (Event& event : network.events) {
    for (Cause& cause : event.causes) {
      if (network.events[At(cause.event)].type == EventType::kFinding || random() % 8 == 0)
        cause.p_how_often = 1;
    }
  }
  return network;
}

TEST_CASE("what is asked for of some events is the same ratio, whatever the reports have made certain") {
  std::mt19937 random(7);
  int compared = 0, taken_back = 0, shaped = 0;
  for (int trial = 0; trial < 1500; ++trial) {
    INFO("trial " << trial);
    const Network network = NetworkWithParts(random);
    const Ancestry ancestry = AncestorsOfReports(network);
    std::vector<int> events;
    for (size_t i = 0; i < network.events.size(); ++i) {
      if (random() % 3 == 0) events.push_back(static_cast<int>(i));
    }
    if (events.empty()) events.push_back(ancestry.kept.front());
    compared += CompareWithBruteForce(network, events);

    CompiledNetwork::Options options;
    options.retractable = true;
    for (const Report& report : ancestry.network.reports) options.asked.push_back(report.event);
    CompiledNetwork compiled(ancestry.network, {}, options);
    REQUIRE(compiled.Build());
    if (!std::isfinite(compiled.LogChance({}))) continue;
    for (size_t k = 0; k < ancestry.network.reports.size(); ++k) {
      INFO("report " << k);
      const auto suppositions = compiled.TakeBack(ancestry.network.reports[k]);
      taken_back += suppositions.has_value();
      shaped += !suppositions.has_value();
      if (!suppositions) continue;
      Network fewer = network;
      fewer.reports.erase(fewer.reports.begin() + static_cast<std::ptrdiff_t>(k));
      CHECK(std::abs(compiled.LogChance(*suppositions) - AddUpEverything(fewer).logp_reports) < 1e-9);
    }
  }
  CHECK(compared > 2000);
  CHECK(taken_back > 2000);
  CHECK(shaped > 100);
}

TEST_CASE("a report has shaped the tree only where something else hangs on what it made absent") {
  // cause -> part -> whole, and cause -> other.
  Network network;
  network.events.push_back({"cause", EventType::kFault, 0.1, {}});
  network.events.push_back({"part", EventType::kFinding, 0.01, {{0, 0.8}}});
  network.events.push_back({"whole", EventType::kFinding, 0.02, {{1, 1}}});
  network.events.push_back({"other", EventType::kFinding, 0.03, {{0, 0.5}}});
  const auto can_take_back_first = [&](std::vector<Report> reports) {
    network.reports = std::move(reports);
    CompiledNetwork::Options options;
    options.retractable = true;
    for (const Report& report : network.reports) options.asked.push_back(report.event);
    CompiledNetwork compiled(network, {}, options);
    REQUIRE(compiled.Build());
    return compiled.TakeBack(network.reports.front()).has_value();
  };
  const Report other{3, true, 1, 0};
  CHECK(can_take_back_first({other}));
  CHECK(can_take_back_first({{2, true, 1, 0}, other}));
  CHECK(can_take_back_first({{2, false, 0, 1}, other}));
  CHECK(can_take_back_first({{2, false, 0, 1}, {1, false, 0, 1}, other}));
  CHECK_FALSE(can_take_back_first({{2, false, 0, 1}, {1, true, 0.6, 0.3}, other}));
  CHECK_FALSE(can_take_back_first({{1, false, 0, 1}, {2, true, 0.6, 0.3}, other}));
  CHECK_FALSE(can_take_back_first({{2, false, 0, 1}, {2, true, 0.6, 0.3}, other}));
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
