// The chances against published formulas and closed forms, worked out here in extended precision.
#include <cmath>
#include <random>
#include <string>

#include "engine/belief/chances.h"
#include "engine/text/at.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

int Add(Network& network, EventType type, double p_unexplained, std::vector<Cause> causes = {}) {
  network.events.push_back(
      {"e" + std::to_string(network.events.size()), type, p_unexplained, std::move(causes)});
  return static_cast<int>(network.events.size()) - 1;
}

Report Seen(int event, bool present) { return {event, present, present ? 1.0 : 0.0, present ? 0.0 : 1.0}; }

// Russell & Norvig, Artificial Intelligence: A Modern Approach, chapter on probabilistic reasoning
// (noisy-OR): inhibition 0.6 for cold, 0.2 for flu, 0.1 for malaria.
TEST_CASE("the noisy-OR of cold, flu and malaria gives the published table of fever") {
  const double published[8] = {0, 0.9, 0.8, 0.98, 0.4, 0.94, 0.88, 0.988};
  for (int row = 0; row < 8; ++row) {
    Network network;
    const int cold = Add(network, EventType::kFault, 0.3);
    const int flu = Add(network, EventType::kFault, 0.2);
    const int malaria = Add(network, EventType::kFault, 0.1);
    const int fever = Add(network, EventType::kFinding, 0, {{cold, 0.4}, {flu, 0.8}, {malaria, 0.9}});
    network.reports = {Seen(cold, row & 4), Seen(flu, row & 2), Seen(malaria, row & 1)};
    BeliefLimits limits;
    limits.all_events = true;
    INFO("row " << row);
    CHECK(std::abs(ComputeChances(network, limits).p_event[At(fever)] - published[row]) < 1e-12);
    // The same through the reports' log-probability.
    const double before = ComputeChances(network).logp_reports;
    network.reports.push_back(Seen(fever, true));
    CHECK(std::abs(std::exp(ComputeChances(network).logp_reports - before) - published[row]) < 1e-12);
  }
}

struct TwoLevels {
  Network network;
  int faults = 0;
  std::vector<int> present;
  std::vector<int> absent;
};

TwoLevels RandomTwoLevels(std::mt19937& random, int faults, int present, int absent) {
  const auto chance = [&] { return static_cast<double>(random() % 1'000'000U) / 1'000'000.0; };
  TwoLevels two;
  two.faults = faults;
  for (int f = 0; f < faults; ++f) Add(two.network, EventType::kFault, 0.001 + 0.1 * chance());
  for (int k = 0; k < present + absent; ++k) {
    std::vector<Cause> causes;
    for (int f = 0; f < faults; ++f) {
      if (random() % 4 == 0) causes.push_back({f, chance()});
    }
    const int finding = Add(two.network, EventType::kFinding, 0.02 * chance() + 1e-4, causes);
    (k < present ? two.present : two.absent).push_back(finding);
    two.network.reports.push_back(Seen(finding, k < present));
  }
  return two;
}

// P(findings of `subset` all absent, given findings absent, and fault `only` present if it is not -1).
long double AllAbsent(const TwoLevels& two, unsigned subset, int only) {
  std::vector<int> findings = two.absent;
  for (size_t k = 0; k < two.present.size(); ++k) {
    if ((subset >> k) & 1U) findings.push_back(two.present[k]);
  }
  std::vector<long double> inhibited(At(two.faults), 1.0L);
  long double product = 1;
  for (int finding : findings) {
    const Event& event = two.network.events[At(finding)];
    product *= 1 - static_cast<long double>(event.p_unexplained);
    for (const Cause& cause : event.causes)
      inhibited[At(cause.event)] *= 1 - static_cast<long double>(cause.p_how_often);
  }
  for (int f = 0; f < two.faults; ++f) {
    const long double p = static_cast<long double>(two.network.events[At(f)].p_unexplained);
    product *= (f == only ? 0 : 1 - p) + p * inhibited[At(f)];
  }
  return product;
}

// Heckerman 1989, A tractable inference algorithm for diagnosing multiple diseases (quickscore): the chance
// of present findings is the alternating sum over their subsets. It cancels badly, hence the extended
// precision and few findings.
TEST_CASE("two-level chances equal the published alternating sum") {
  std::mt19937 random(1989);
  for (int trial = 0; trial < 12; ++trial) {
    const int present = 1 + trial % 8;
    const TwoLevels two = RandomTwoLevels(random, 25, present, trial % 5);
    const auto alternating = [&](int only) {
      long double sum = 0;
      for (unsigned subset = 0; subset < (1U << present); ++subset) {
        int size = 0;
        for (unsigned rest = subset; rest != 0; rest &= rest - 1) ++size;
        sum += (size % 2 == 0 ? 1 : -1) * AllAbsent(two, subset, only);
      }
      return sum;
    };
    const long double total = alternating(-1);
    const Chances chances = ComputeChances(two.network);
    INFO("trial " << trial << " width " << chances.width);
    REQUIRE(chances.exact);
    CHECK(std::abs(chances.logp_reports - static_cast<double>(std::log(total))) < 1e-7);
    for (int f = 0; f < two.faults; ++f) {
      CHECK(std::abs(chances.p_event[At(f)] - static_cast<double>(alternating(f) / total)) < 1e-8);
    }
  }
}

// Same source: with absent findings alone the faults stay independent.
TEST_CASE("absent findings alone factorise over faults, however many and however tangled") {
  std::mt19937 random(7);
  const TwoLevels two = RandomTwoLevels(random, 200, 0, 150);
  const Chances chances = ComputeChances(two.network);
  REQUIRE(chances.exact);
  CHECK(chances.width <= 1);
  long double logp = 0;
  std::vector<long double> inhibited(At(two.faults), 1.0L);
  for (int finding : two.absent) {
    const Event& event = two.network.events[At(finding)];
    logp += std::log(1 - static_cast<long double>(event.p_unexplained));
    for (const Cause& cause : event.causes)
      inhibited[At(cause.event)] *= 1 - static_cast<long double>(cause.p_how_often);
  }
  for (int f = 0; f < two.faults; ++f) {
    const long double p = static_cast<long double>(two.network.events[At(f)].p_unexplained);
    const long double total = 1 - p + p * inhibited[At(f)];
    logp += std::log(total);
    CHECK(std::abs(chances.p_event[At(f)] - static_cast<double>(p * inhibited[At(f)] / total)) < 1e-12);
  }
  CHECK(std::abs(chances.logp_reports - static_cast<double>(logp)) < 1e-9);
}

TEST_CASE("twenty rare findings without a common cause do not underflow") {
  Network network;
  for (int k = 0; k < 20; ++k) {
    const int fault = Add(network, EventType::kFault, 1e-6);
    const int finding = Add(network, EventType::kFinding, 1e-4, {{fault, 0.5}});
    network.reports.push_back(Seen(finding, true));
  }
  // Each finding: 1 - (1 - 1e-4)(1 - 0.5e-6).
  const long double one = 1e-4L + 0.5e-6L - 0.5e-10L;
  const Chances chances = ComputeChances(network);
  CHECK(std::abs(chances.logp_reports - static_cast<double>(20 * std::log(one))) < 1e-9);
  const long double joint = 1e-6L * (1 - (1 - 1e-4L) * 0.5L);
  CHECK(std::abs(chances.p_event[0] / static_cast<double>(joint / one) - 1) < 1e-9);
  CHECK(std::abs(chances.p_by_itself[1] / static_cast<double>(1e-4L / one) - 1) < 1e-9);
}

TEST_CASE("twenty rare findings with one common cause have the closed form's chance") {
  for (double p : {1e-3, 1e-30, 1e-90}) {
    Network network;
    const int fault = Add(network, EventType::kFault, p);
    for (int k = 0; k < 20; ++k)
      network.reports.push_back(Seen(Add(network, EventType::kFinding, 1e-4, {{fault, 0.5}}), true));
    // p * (1 - (1 - 1e-4) / 2)^20 + (1 - p) * 1e-80
    const long double if_present = static_cast<long double>(p) * std::pow(1 - (1 - 1e-4L) * 0.5L, 20.0L);
    const long double if_absent = (1 - static_cast<long double>(p)) * std::pow(1e-4L, 20.0L);
    const Chances chances = ComputeChances(network);
    INFO("p " << p);
    CHECK(std::abs(chances.logp_reports - static_cast<double>(std::log(if_present + if_absent))) < 1e-9);
    CHECK(std::abs(chances.p_event[0] - static_cast<double>(if_present / (if_present + if_absent))) < 1e-9);
    if (p == 1e-90)
      CHECK(std::abs(chances.p_event[0] / static_cast<double>(if_present / (if_present + if_absent)) - 1) <
            1e-9);
  }
}

TEST_CASE("certain reports that contradict each other leave the chances as they were") {
  Network network;
  const int fault = Add(network, EventType::kFault, 0.2);
  const int state = Add(network, EventType::kState, 0, {{fault, 1}});
  const int finding = Add(network, EventType::kFinding, 0, {{state, 0.5}});
  network.reports = {Seen(fault, false), Seen(finding, true)};
  const Chances chances = ComputeChances(network);
  CHECK_FALSE(chances.possible);
  CHECK(std::isinf(chances.logp_reports));
  CHECK(std::abs(chances.p_event[At(fault)] - 0.2) < 1e-12);
  CHECK(std::abs(chances.p_event[At(state)] - 0.2) < 1e-12);
  CHECK(std::abs(chances.p_event[At(finding)] - 0.1) < 1e-12);
  const Influence influence = ComputeInfluence(network);
  for (double factor : influence.odds_factor[1]) CHECK(factor == 1);
}

TEST_CASE("a certain consequence of a certain report is certain") {
  Network network;
  const int fault = Add(network, EventType::kFault, 0.01);
  const int state = Add(network, EventType::kState, 0, {{fault, 0.9}});
  const int finding = Add(network, EventType::kFinding, 0, {{state, 0.5}});
  network.reports = {Seen(finding, true)};
  const Chances chances = ComputeChances(network);
  CHECK(chances.p_event[At(fault)] == 1);
  CHECK(chances.p_event[At(state)] == 1);
  CHECK(std::isinf(ComputeInfluence(network).odds_factor[0][At(fault)]));
}

TEST_CASE("a cycle is found and told from cause to effect") {
  Network network;
  Add(network, EventType::kFault, 0.1, {{2, 0.5}});
  Add(network, EventType::kState, 0, {{0, 0.5}});
  Add(network, EventType::kState, 0, {{1, 0.5}});
  Add(network, EventType::kFinding, 0, {{2, 0.5}});
  std::vector<int> cycle;
  CHECK(CausesFirst(network, &cycle).empty());
  REQUIRE(cycle.size() == 3);
  for (size_t i = 0; i < 3; ++i) {
    const int cause = cycle[i];
    const int effect = cycle[(i + 1) % 3];
    bool linked = false;
    for (const Cause& c : network.events[At(effect)].causes) linked = linked || c.event == cause;
    CHECK(linked);
  }
}

}  // namespace
}  // namespace gearwhy
