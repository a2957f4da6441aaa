// The outcome against brute force over its definition, and what must hold of it whatever the network.
#include "engine/belief/outcome.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// P(e+ | e-) with the faults that are off taken away, by adding up.
double ChancePresent(Network network, const std::vector<char>& is_off) {
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    if (!is_off[i]) continue;
    network.events[i].p_unexplained = 0;
    network.events[i].causes.clear();
  }
  const double all = AddUpEverything(network).logp_reports;
  std::erase_if(network.reports, [](const Report& report) { return report.present; });
  return std::exp(all - AddUpEverything(network).logp_reports);
}

TEST_CASE("the outcome equals its definition, added up by brute force") {
  std::mt19937 random(7);
  int compared = 0, between = 0;
  for (int trial = 0; trial < 400; ++trial) {
    INFO("trial " << trial);
    RandomShape shape;
    shape.faults = 1 + static_cast<int>(random() % 5);
    shape.states = static_cast<int>(random() % 4);
    shape.reports = static_cast<int>(random() % 4);
    const Network network = RandomNetwork(random, shape);
    const double now = AddUpEverything(network).logp_reports;
    if (!std::isfinite(now)) continue;
    std::vector<char> is_fault(network.events.size(), 0), is_marked(network.events.size(), 0);
    for (std::size_t i = 0; i < network.events.size(); ++i) {
      is_fault[i] = network.events[i].type == EventType::kFault;
      is_marked[i] = is_fault[i] && random() % 2 == 0;
    }
    const auto outcome = ComputeOutcome(network, is_marked);
    REQUIRE(outcome);
    const std::vector<char> none(network.events.size(), 0);
    const auto share = [&](const std::vector<char>& off) {
      return std::clamp(1 - ChancePresent(network, off) / ChancePresent(network, none), 0.0, 1.0);
    };
    CHECK(std::abs(outcome->any - share(is_fault)) < 1e-9);
    CHECK(std::abs(outcome->marked - std::min(share(is_fault), share(is_marked))) < 1e-9);
    CHECK(std::abs(outcome->nothing() + outcome->others() + outcome->marked - 1) < 1e-12);
    ++compared;
    between += outcome->marked > 0.01 && outcome->marked < outcome->any - 0.01;
  }
  CHECK(compared > 300);
  CHECK(between > 30);
}

TEST_CASE("where nothing was reported present nothing is to blame") {
  Network network;
  network.events.push_back({"broken", EventType::kFault, 0.3, {}});
  network.events.push_back({"seen", EventType::kFinding, 0.01, {{0, 0.9}}});
  CHECK(ComputeOutcome(network, {1, 0})->any == 0);
  network.reports.push_back({1, false, 0.1, 0.99});
  CHECK(ComputeOutcome(network, {1, 0})->any == 0);
}

TEST_CASE("what is told and then refuted blames nothing, however rare it is") {
  for (const double p : {1e-4, 1e-2, 0.2}) {
    Network network;
    network.events.push_back({"broken", EventType::kFault, p, {}});
    network.events.push_back({"seen", EventType::kFinding, 0, {{0, 0.9}}});
    network.reports.push_back({1, true, 0.85, 0.01});    // told
    network.reports.push_back({1, false, 0.01, 0.995});  // looked for in vain
    CHECK(ComputeOutcome(network, {1, 0})->marked < 0.25);
    network.reports.back() = {1, false, 0, 1};
    CHECK(ComputeOutcome(network, {1, 0})->marked == 0);
  }
}

TEST_CASE("the outcome after an answer is the outcome with its reports") {
  std::mt19937 random(8);
  int compared = 0;
  for (int trial = 0; trial < 200; ++trial) {
    INFO("trial " << trial);
    const Network network = RandomNetwork(random, {});
    std::vector<char> is_marked(network.events.size(), 0);
    for (std::size_t i = 0; i < is_marked.size(); ++i)
      is_marked[i] = network.events[i].type == EventType::kFault && i % 2 == 0;
    for (std::size_t i = 0; i < network.events.size(); ++i) {
      const bool reported =
          std::any_of(network.reports.begin(), network.reports.end(),
                      [&](const Report& report) { return report.event == static_cast<int>(i); });
      if (network.events[i].type != EventType::kFinding || reported) continue;
      Question answers = {{{static_cast<int>(i), true, 0.9, 0.02}},
                          {{static_cast<int>(i), false, 0.1, 0.98}}};
      if (!network.reports.empty()) {  // the first answer makes an earlier report weigh otherwise
        answers[0].reweighed = {network.reports.front()};
        answers[0].reweighed[0].p_if_present = 0.5;
        answers[0].reweighed[0].p_if_absent = 0.8;
      }
      const auto after = OutcomesAfter(network, is_marked, {answers}).front();
      const Answers chances =
          ComputeAnswers(network, EventChancesOf(ComputeChances(network)), {answers}).front();
      for (std::size_t a = 0; a < answers.size(); ++a) {
        Network answered = network;
        for (const Report& factor : answers[a].reweighed) {
          answered.reports.front().p_if_present *= factor.p_if_present;
          answered.reports.front().p_if_absent *= factor.p_if_absent;
        }
        answered.reports.push_back(answers[a].reports.front());
        const auto anew = ComputeOutcome(answered, is_marked);
        REQUIRE(after[a].outcome.has_value() == anew.has_value());
        if (!anew) continue;
        CHECK(std::abs(after[a].p - chances.answers[a].p) < 1e-9);
        CHECK(std::abs(after[a].outcome->any - anew->any) < 1e-9);
        CHECK(std::abs(after[a].outcome->marked - anew->marked) < 1e-9);
        ++compared;
      }
    }
  }
  CHECK(compared > 200);
}

}  // namespace
}  // namespace gearwhy
