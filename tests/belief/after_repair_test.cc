// What is still there after a repair, against adding up over every link by its definition.
#include "engine/belief/after_repair.h"

#include <cmath>
#include <random>

#include "engine/text/at.h"
#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// By definition: events are faults, or known by what the kept causes and what the mended ones bring about. A
// state of the world says which events arose by themselves, and which link acted for the kept and which for
// the mended side of its cause. All are added up by the weight of what was reported.
class ByDefinition {
 public:
  ByDefinition(const Network& network, const std::vector<char>& is_mended, const std::vector<char>& below)
      : network_(network), is_mended_(is_mended), below_(below), order_(CausesFirst(network)) {}

  // P(event is kept up | reports); NaN where these cannot be.
  double Kept(int asked) {
    asked_ = asked;
    all_ = still_ = 0;
    kept_.assign(network_.events.size(), 0);
    brought_ = kept_;
    Walk(0, 1);
    return still_ / all_;
  }

 private:
  // The chance that the event stays away on one side, given its causes on that side.
  double StaysAway(int event, bool mended_side) const {
    const Event& e = network_.events[At(event)];
    double away = mended_side ? 1 : 1 - e.p_unexplained;
    for (const Cause& cause : e.causes) {
      const auto from = At(cause.event);
      const bool whole = kept_[from] != 0 || brought_[from] != 0;
      // A fault is known as a whole, and so is all that its causes bring about.
      bool acts = whole;
      if (e.type != EventType::kFault) {
        if (is_mended_[from] != 0)
          acts = mended_side && whole;
        else if (below_[from] != 0)
          acts = mended_side ? brought_[from] != 0 : kept_[from] != 0;
        else
          acts = !mended_side && whole;
      }
      if (acts) away *= 1 - cause.p_how_often;
    }
    return away;
  }

  void Walk(std::size_t at, double weight) {
    if (weight == 0) return;
    if (at == order_.size()) {
      for (const Report& report : network_.reports) {
        const bool is = kept_[At(report.event)] != 0 || brought_[At(report.event)] != 0;
        weight *= is ? report.p_if_present : report.p_if_absent;
      }
      all_ += weight;
      if (kept_[At(asked_)] != 0) still_ += weight;
      return;
    }
    const int event = order_[at];
    const double kept_away = StaysAway(event, false);
    const bool two = below_[At(event)] != 0;
    const double brought_away = two ? StaysAway(event, true) : 1;
    for (const bool kept : {false, true}) {
      for (const bool brought : {false, true}) {
        if (brought && !two) continue;
        kept_[At(event)] = kept ? 1 : 0;
        brought_[At(event)] = brought ? 1 : 0;
        Walk(at + 1,
             weight * (kept ? 1 - kept_away : kept_away) * (brought ? 1 - brought_away : brought_away));
      }
    }
  }

  const Network& network_;
  const std::vector<char>&is_mended_, &below_;
  std::vector<int> order_;
  int asked_ = 0;
  std::vector<char> kept_, brought_;
  double all_ = 0, still_ = 0;
};

// States and findings with a mended fault above them; faults stay what they are.
std::vector<char> BelowMended(const Network& network, const std::vector<char>& is_mended) {
  std::vector<char> below(network.events.size(), 0);
  for (const int event : CausesFirst(network)) {
    const Event& e = network.events[At(event)];
    for (const Cause& cause : e.causes) {
      if (e.type != EventType::kFault && (is_mended[At(cause.event)] != 0 || below[At(cause.event)] != 0))
        below[At(event)] = 1;
    }
  }
  return below;
}

TEST_CASE("what is still there after a repair equals its definition, added up by brute force") {
  std::mt19937 random(23);
  int compared = 0, told_apart = 0;
  for (int trial = 0; trial < 300; ++trial) {
    INFO("trial " << trial);
    RandomShape shape;
    shape.faults = 1 + static_cast<int>(random() % 3);
    shape.states = static_cast<int>(random() % 3);
    shape.findings = 1 + static_cast<int>(random() % 2);
    shape.reports = static_cast<int>(random() % 4);
    const Network network = RandomNetwork(random, shape);
    if (!std::isfinite(AddUpEverything(network).logp_reports)) continue;
    std::vector<char> is_mended(network.events.size(), 0);
    std::vector<MendedFault> mended;
    std::vector<int> asked;
    for (std::size_t i = 0; i < network.events.size(); ++i) {
      if (network.events[i].type != EventType::kFault) asked.push_back(static_cast<int>(i));
      if (network.events[i].type != EventType::kFault || random() % 2 == 0) continue;
      is_mended[i] = 1;
      mended.push_back({static_cast<int>(i), 0});
    }
    const std::vector<char> below = BelowMended(network, is_mended);
    const AfterRepair after = ChancesAfterRepair(network, mended, {}, asked);
    ByDefinition definition(network, is_mended, below);
    for (std::size_t a = 0; a < asked.size(); ++a) {
      const double by_definition = definition.Kept(asked[a]);
      if (std::isnan(by_definition)) continue;
      CHECK(std::abs(after.p_still[a] - by_definition) < 1e-9);
      ++compared;
      told_apart += below[At(asked[a])] != 0 && by_definition > 0.01 && by_definition < 0.99;
    }
  }
  CHECK(compared > 400);
  CHECK(told_apart > 50);
}

// A seal and a band that both let a servo slip, which is complained of.
Network SlippingServo() {
  Network network;
  network.events = {{"seal", EventType::kFault, 0.05, {}},
                    {"band", EventType::kFault, 0.02, {{0, 0.5}}},
                    {"cannot hold", EventType::kState, 0.001, {{0, 0.9}, {1, 0.9}}},
                    {"slips", EventType::kFinding, 0.001, {{2, 0.95}}}};
  network.reports = {{3, true, 0.99, 0.001}};
  return network;
}

TEST_CASE("a complaint goes with the fault that brought it about, and stays with one that was not mended") {
  const Network network = SlippingServo();
  const double before = ComputeChances(network).p_event[3];
  const auto still = [&](const std::vector<MendedFault>& mended) {
    return ChancesAfterRepair(network, mended, {}, {3}).p_still[0];
  };
  CHECK(std::abs(still({}) - before) < 1e-12);
  // The seal has worn the band as well: it stays worn until it is renewed.
  CHECK(still({{0, 0}}) > 0.3);
  CHECK(still({{0, 0}, {1, 0}}) < 0.1);
  // A new seal that may be cut at assembly brings the complaint back as often as that, and no more often.
  const double clean = still({{0, 0}, {1, 0}});
  const double cut = 1 - (1 - clean) * (1 - 0.2 * 0.9 * 0.95);
  CHECK(std::abs(still({{0, 0.2}, {1, 0}}) - cut) < 1e-12);
}

TEST_CASE("a look after the work moves what is still there by Bayes' rule") {
  const Network network = SlippingServo();
  const std::vector<MendedFault> mended = {{0, 0.1}};
  const double before = ChancesAfterRepair(network, mended, {}, {3}).p_still[0];
  for (const bool present : {true, false}) {
    const double p_if_present = present ? 0.9 : 0.1, p_if_absent = present ? 0.05 : 0.95;
    const double wanted = before * p_if_present / (before * p_if_present + (1 - before) * p_if_absent);
    const Report look = {3, present, p_if_present, p_if_absent};
    CHECK(std::abs(ChancesAfterRepair(network, mended, {look}, {3}).p_still[0] - wanted) < 1e-12);
  }
}

TEST_CASE("what arose by itself stays, as nobody knows why it did") {
  Network network = SlippingServo();
  network.reports.push_back({2, false, 0, 1});  // the element holds for certain
  CHECK(ChancesAfterRepair(network, {{0, 0}, {1, 0}}, {}, {3}).p_still[0] > 0.4);
}

}  // namespace
}  // namespace gearwhy
