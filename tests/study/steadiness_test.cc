// By how much the odds of a verdict move with each chance of the network: laid beside small moves of that
// chance, solved anew.
#include "engine/study/steadiness.h"

#include <cmath>
#include <random>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// Faults, states and findings in layers, with reports of some findings.
Network Drawn(std::uint64_t seed) {
  std::mt19937_64 random(seed);
  const auto share = [&](double from, double to) {
    return from + (to - from) * static_cast<double>(random() >> 11) * 0x1.0p-53;
  };
  Network network;
  const auto add = [&](EventType type, int first_cause, int causes) {
    Event event;
    event.id = "e" + std::to_string(network.events.size());
    event.type = type;
    event.p_unexplained = type == EventType::kFault ? share(0.02, 0.2) : share(0.005, 0.05);
    for (int k = 0; k < causes; ++k) event.causes.push_back({first_cause + k, share(0.2, 0.9)});
    network.events.push_back(std::move(event));
  };
  for (int i = 0; i < 4; ++i) add(EventType::kFault, 0, 0);
  for (int i = 0; i < 3; ++i) add(EventType::kState, i, 2);
  for (int i = 0; i < 3; ++i) add(EventType::kFinding, 4 + i % 2, 2);
  network.reports.push_back({7, true, 0.9, 0.02});
  network.reports.push_back({8, false, 0.1, 0.97});
  network.reports.push_back({9, true, 0.95, 0.05});
  return network;
}

double LogOdds(const Network& network, int event) {
  const double p = ComputeChances(network).p_event[static_cast<std::size_t>(event)];
  return std::log(p / (1 - p));
}

// The slope by two solutions with the chance a little lower and a little higher.
double ByMoving(Network network, int event, double Event::*own, std::size_t i, std::size_t k) {
  constexpr double kStep = 1e-5;
  double& p = own != nullptr ? network.events[i].*own : network.events[i].causes[k].p_how_often;
  const double middle = p;
  p = middle - kStep;
  const double below = LogOdds(network, event);
  p = middle + kStep;
  return (LogOdds(network, event) - below) / (2 * kStep);
}

TEST_CASE("the slopes of a verdict are those that moving each chance shows") {
  for (std::uint64_t seed = 1; seed <= 8; ++seed) {
    const Network network = Drawn(seed);
    for (const int verdict : {0, 2, 4}) {
      INFO(seed << " " << verdict);
      const Slopes slopes = SlopesOf(network, verdict);
      REQUIRE(slopes.own.size() == network.events.size());
      for (std::size_t i = 0; i < network.events.size(); ++i) {
        INFO(i);
        CHECK(slopes.own[i] ==
              Approx(ByMoving(network, verdict, &Event::p_unexplained, i, 0)).epsilon(1e-4).margin(1e-6));
        for (std::size_t k = 0; k < network.events[i].causes.size(); ++k) {
          INFO(k);
          CHECK(slopes.link[i][k] ==
                Approx(ByMoving(network, verdict, nullptr, i, k)).epsilon(1e-4).margin(1e-6));
        }
      }
    }
  }
}

TEST_CASE("one fault, one finding: the slopes are those of Bayes' rule") {
  // P(fault | seen) has the odds p / (1 - p) * (1 - (1 - u)(1 - q)) / u, with u unexplained and q how often.
  Network network;
  network.events.push_back({"fault", EventType::kFault, 0.1, {}});
  network.events.push_back({"seen", EventType::kFinding, 0.05, {{0, 0.6}}});
  network.reports.push_back({1, true, 1, 0});
  const Slopes slopes = SlopesOf(network, 0);
  REQUIRE(slopes.own.size() == 2);
  CHECK(slopes.own[0] == Approx(1 / (0.1 * 0.9)));
  CHECK(slopes.link[1][0] == Approx(0.95 / (1 - 0.95 * 0.4)));
  CHECK(slopes.own[1] == Approx(0.4 / (1 - 0.95 * 0.4) - 1 / 0.05));
}

TEST_CASE("of a verdict that is certain no slope can be told") {
  Network network;
  network.events.push_back({"fault", EventType::kFault, 0.1, {}});
  network.reports.push_back({0, true, 1, 0});
  CHECK(SlopesOf(network, 0).own.empty());
}

}  // namespace
}  // namespace gearwhy
