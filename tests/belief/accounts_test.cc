// Accounts against brute force over every way in which faults can arise by themselves.
#include "engine/belief/accounts.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <random>

#include "engine/text/at.h"
#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// For each set of roots: the chance that just these of the faults arose by themselves, and the reports; and
// of each event besides. Every root is set to 0 or 1 in turn, weighed with its chance.
struct BySet {
  std::vector<double> p;                     // by set of faults, bits as in `faults`
  std::vector<std::vector<double>> p_event;  // by set: given it and the reports
};
BySet AddUpBySet(const Network& network, const std::vector<int>& faults) {
  BySet by_set;
  for (unsigned set = 0; set < (1U << faults.size()); ++set) {
    Network fixed = network;
    double p = 1;
    for (std::size_t i = 0; i < faults.size(); ++i) {
      double& own = fixed.events[At(faults[i])].p_unexplained;
      const bool so = ((set >> i) & 1U) != 0;
      p *= so ? own : 1 - own;
      own = so ? 1 : 0;
    }
    BruteForce truth = AddUpEverything(fixed);
    by_set.p.push_back(p > 0 ? p * std::exp(truth.logp_reports) : 0);
    by_set.p_event.push_back(std::move(truth.p_event));
  }
  return by_set;
}

struct Drawn {
  Network network;
  std::vector<int> faults;    // all of them
  std::vector<int> place_of;  // by event
  Chances chances;
};

// A small network with reports that can be, its faults in `places` places.
Drawn Draw(std::mt19937& random, int places) {
  for (;;) {
    RandomShape shape;
    shape.faults = 3 + static_cast<int>(random() % 4);
    shape.states = static_cast<int>(random() % 4);
    shape.reports = 1 + static_cast<int>(random() % 4);
    Drawn posed;
    posed.network = RandomNetwork(random, shape);
    posed.chances = ComputeChances(posed.network);
    if (!posed.chances.possible) continue;
    for (std::size_t i = 0; i < posed.network.events.size(); ++i) {
      const bool fault = posed.network.events[i].type == EventType::kFault;
      posed.place_of.push_back(fault ? static_cast<int>(random() % static_cast<unsigned>(places)) : -1);
      if (fault) posed.faults.push_back(static_cast<int>(i));
    }
    return posed;
  }
}

// The places whose roots that bear are among `set`, as a set of places.
std::vector<int> PlacesOf(const Drawn& posed, unsigned set) {
  std::vector<int> places;
  for (std::size_t i = 0; i < posed.faults.size(); ++i) {
    const int fault = posed.faults[i];
    if (((set >> i) & 1U) != 0 && Bears(posed.network, posed.chances, fault))
      places.push_back(posed.place_of[At(fault)]);
  }
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end()), places.end());
  return places;
}

TEST_CASE("every account, and each event by it, equals brute force over all ways to arise") {
  std::mt19937 random(11);
  int compared = 0, of_two = 0, of_none = 0, caused = 0;
  for (int trial = 0; trial < 400; ++trial) {
    INFO("trial " << trial);
    const Drawn posed = Draw(random, 4);
    AccountOptions options;
    options.least_chance = trial % 2 == 0 ? 0 : 0.1;
    options.most_places = trial % 3 == 0 ? 2 : 5;
    options.in_full = 100;
    const Accounts accounts = ComputeAccounts(posed.network, posed.chances, posed.place_of, {}, options);
    const BySet truth = AddUpBySet(posed.network, posed.faults);
    double total = 0;
    for (const double p : truth.p) total += p;
    for (const Account& account : accounts.all) {
      double p = 0;
      std::vector<double> p_event(posed.network.events.size(), 0), p_root = p_event;
      for (unsigned set = 0; set < truth.p.size(); ++set) {
        if (truth.p[set] == 0 || PlacesOf(posed, set) != account.places) continue;
        p += truth.p[set];
        for (std::size_t i = 0; i < p_event.size(); ++i) p_event[i] += truth.p[set] * truth.p_event[set][i];
        for (std::size_t i = 0; i < posed.faults.size(); ++i)
          p_root[At(posed.faults[i])] += ((set >> i) & 1U) != 0 ? truth.p[set] : 0;
      }
      REQUIRE(std::abs(account.p - p / total) < 1e-9);
      if (account.p < 1e-6) continue;
      ++compared;
      of_two += account.places.size() == 2;
      of_none += account.places.empty();
      for (std::size_t i = 0; i < p_event.size(); ++i) {
        const double given = account.given.p_event[i];
        if (!std::isnan(given)) CHECK(std::abs(given - p_event[i] / p) < 1e-9);
      }
      for (const int place : account.places) {
        for (const int root : accounts.roots[At(place)]) {
          CHECK(std::abs(account.given.p_by_itself[At(root)] - p_root[At(root)] / p) < 1e-9);
          caused += !posed.network.events[At(root)].causes.empty();
        }
      }
    }
  }
  CHECK(compared > 500);
  CHECK(of_two > 100);
  CHECK(of_none > 100);
  CHECK(caused > 30);
}

TEST_CASE("the accounts of all sets that hold a place add up to the chance that something broke there") {
  std::mt19937 random(12);
  int compared = 0;
  for (int trial = 0; trial < 300; ++trial) {
    INFO("trial " << trial);
    const Drawn posed = Draw(random, 4);
    AccountOptions options;
    options.least_chance = 0;
    options.most_at_once = 5;
    const Accounts accounts = ComputeAccounts(posed.network, posed.chances, posed.place_of, {}, options);
    if (accounts.all.empty()) continue;
    double all = 0;
    for (const Account& account : accounts.all) all += account.p;
    CHECK(std::abs(all - 1) < 1e-9);
    const BySet truth = AddUpBySet(posed.network, posed.faults);
    double total = 0;
    for (const double p : truth.p) total += p;
    for (const int place : accounts.counted) {
      double with = 0, broke = 0;
      for (const Account& account : accounts.all) {
        if (std::count(account.places.begin(), account.places.end(), place) > 0) with += account.p;
      }
      for (unsigned set = 0; set < truth.p.size(); ++set) {
        const std::vector<int> places = PlacesOf(posed, set);
        if (std::count(places.begin(), places.end(), place) > 0) broke += truth.p[set];
      }
      CHECK(std::abs(with - broke / total) < 1e-9);
      ++compared;
    }
  }
  CHECK(compared > 200);
}

TEST_CASE("accounts come likeliest first, are chances, and leave no less than nothing") {
  std::mt19937 random(13);
  for (int trial = 0; trial < 400; ++trial) {
    INFO("trial " << trial);
    const Drawn posed = Draw(random, 6);
    const Accounts accounts = ComputeAccounts(posed.network, posed.chances, posed.place_of);
    double all = 0, before = 1;
    for (const Account& account : accounts.all) {
      CHECK(account.p >= 0);
      CHECK(account.p <= before);
      CHECK(account.places.size() <= 2);
      before = account.p;
      all += account.p;
    }
    CHECK(all < 1 + 1e-12);
  }
}

// By hand: either fault alone brings it about, and nothing else does. P(a, not b) : P(b, not a) : P(a and b)
// = 0.1 x 0.8 : 0.2 x 0.9 : 0.1 x 0.2 = 0.08 : 0.18 : 0.02.
TEST_CASE("two faults that are each enough share the blame as their chances are") {
  Network network;
  network.events.push_back({"a", EventType::kFault, 0.1, {}});
  network.events.push_back({"b", EventType::kFault, 0.2, {}});
  network.events.push_back({"seen", EventType::kFinding, 0, {{0, 1}, {1, 1}}});
  network.reports.push_back({2, true, 1, 0});
  const Accounts accounts = ComputeAccounts(network, ComputeChances(network), {0, 1, -1});
  REQUIRE(accounts.all.size() == 4);
  CHECK(accounts.all[0].places == std::vector<int>{1});
  CHECK(std::abs(accounts.all[0].p - 0.18 / 0.28) < 1e-12);
  CHECK(accounts.all[1].places == std::vector<int>{0});
  CHECK(std::abs(accounts.all[1].p - 0.08 / 0.28) < 1e-12);
  CHECK(accounts.all[2].places == std::vector<int>{0, 1});
  CHECK(std::abs(accounts.all[2].p - 0.02 / 0.28) < 1e-12);
  CHECK(accounts.all[3].places.empty());
  CHECK(accounts.all[3].p == 0);
}

// Chances of 1e-9: a difference of sums would have lost its digits.
TEST_CASE("an account of two very rare faults keeps its digits") {
  Network network;
  network.events.push_back({"a", EventType::kFault, 1e-9, {}});
  network.events.push_back({"b", EventType::kFault, 1e-9, {}});
  network.events.push_back({"seen", EventType::kFinding, 0, {{0, 1}, {1, 1}}});
  network.reports.push_back({2, true, 1, 0});
  const Accounts accounts = ComputeAccounts(network, ComputeChances(network), {0, 1, -1});
  REQUIRE(accounts.all.size() == 4);
  REQUIRE(accounts.all[2].places.size() == 2);
  const double both = 1e-18 / (2e-9 * (1 - 1e-9) + 1e-18);
  CHECK(std::abs(accounts.all[2].p / both - 1) < 1e-9);
}

TEST_CASE(
    "where nothing was reported, what was reported cannot be, or chances are not exact, is no account") {
  Network network;
  network.events.push_back({"a", EventType::kFault, 0.1, {}});
  network.events.push_back({"seen", EventType::kFinding, 0, {{0, 0.9}}});
  CHECK(ComputeAccounts(network, ComputeChances(network), {0, -1}).all.empty());
  network.reports.push_back({1, true, 1, 0});
  Chances chances = ComputeChances(network);
  CHECK_FALSE(ComputeAccounts(network, chances, {0, -1}).all.empty());
  chances.exact = false;
  CHECK(ComputeAccounts(network, chances, {0, -1}).all.empty());
  network.reports.push_back({0, false, 0, 1});
  CHECK(ComputeAccounts(network, ComputeChances(network), {0, -1}).all.empty());
}

TEST_CASE("a fault that others brought about is no root, however likely it is") {
  Network network;
  network.events.push_back({"cause", EventType::kFault, 0.01, {}});
  network.events.push_back({"burnt", EventType::kFault, 0.0001, {{0, 1}}});
  network.reports.push_back({1, true, 1, 0});
  const Accounts accounts = ComputeAccounts(network, ComputeChances(network), {0, 1});
  REQUIRE_FALSE(accounts.all.empty());
  CHECK(accounts.all.front().places == std::vector<int>{0});
  CHECK(accounts.all.front().p > 0.98);
  CHECK(std::abs(accounts.all.front().given.p_event[1] - 1) < 1e-12);
}

}  // namespace
}  // namespace gearwhy
