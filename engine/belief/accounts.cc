#include "engine/belief/accounts.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <iterator>
#include <limits>
#include <memory>
#include <numeric>
#include <optional>

#include "engine/belief/compiled_network.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"
#include "engine/text/for_order.h"

namespace gearwhy {
namespace {

constexpr double kLeastOddsFactor = 1.5;
constexpr double kMostEntries = 1e6;  // numbers of the tree: with all passes some half a second
constexpr double kNotComputed = std::numeric_limits<double>::quiet_NaN();

// The places that count: those whose roots' chances add up to most.
std::vector<int> CountedPlaces(const Accounts& accounts, const Chances& chances,
                               const AccountOptions& options) {
  std::vector<double> sum;
  for (const std::vector<int>& roots : accounts.roots) {
    sum.push_back(std::accumulate(roots.begin(), roots.end(), 0.0, [&](double total, int root) {
      return total + chances.p_by_itself[At(root)];
    }));
  }
  std::vector<int> counted;
  for (std::size_t place = 0; place < sum.size(); ++place) {
    if (!accounts.roots[place].empty() && sum[place] >= options.least_chance)
      counted.push_back(static_cast<int>(place));
  }
  std::stable_sort(counted.begin(), counted.end(),
                   [&](int a, int b) { return ForOrder(sum[At(a)]) > ForOrder(sum[At(b)]); });
  if (std::ssize(counted) > options.most_places) counted.resize(At(options.most_places));
  std::sort(counted.begin(), counted.end());
  return counted;
}

// The network with an event for each place that counts.
class PlacedNetwork {
 public:
  // `network`: of one world, where a root may bear on no report; `wanted`: events that it holds even so.
  PlacedNetwork(const Network& network, const Accounts& accounts, const std::vector<int>& wanted)
      : part_(AncestorsOfReports(network, wanted)) {
    std::vector<char> counts(accounts.roots.size(), 0);
    for (const int place : accounts.counted) counts[At(place)] = 1;
    for (std::size_t place = 0; place < counts.size(); ++place) {
      if (counts[place] == 0) {
        for (const int root : accounts.roots[place]) Strike(part_.index_of[At(root)]);
      }
    }
    for (const int place : accounts.counted) {
      Event event;
      event.type = EventType::kState;
      for (const int root : accounts.roots[At(place)])
        event.causes.push_back({RootOf(part_.index_of[At(root)]), 1});
      place_events_.push_back(static_cast<int>(part_.network.events.size()));
      part_.network.events.push_back(std::move(event));
    }
  }

  const Network& network() const { return part_.network; }
  int index_of(int event) const { return part_.index_of[At(event)]; }     // in network(), or -1
  const std::vector<int>& place_events() const { return place_events_; }  // by place that counts
  double logp_struck() const { return logp_struck_; }                     // that none of the struck is so

  // What a solution says of the events of the full network.
  EventChances Given(std::size_t events, const std::vector<double>& p_event,
                     const std::vector<double>& p_by_itself) const {
    EventChances given{std::vector<double>(events, kNotComputed), std::vector<double>(events, kNotComputed)};
    for (std::size_t i = 0; i < part_.kept.size(); ++i) {
      given.p_event[At(part_.kept[i])] = p_event[i];
      given.p_by_itself[At(part_.kept[i])] = p_by_itself[i];
    }
    for (const auto& [fault, root] : own_root_)
      given.p_by_itself[At(part_.kept[At(fault)])] = p_event[At(root)];
    return given;
  }

 private:
  void Strike(int fault) {
    double& p = part_.network.events[At(fault)].p_unexplained;
    logp_struck_ += std::log1p(-p);
    p = 0;
  }

  // The event that is the fault arisen by itself.
  int RootOf(int fault) {
    std::vector<Event>& events = part_.network.events;
    if (events[At(fault)].causes.empty()) return fault;
    const int root = static_cast<int>(events.size());
    Event event;
    event.p_unexplained = events[At(fault)].p_unexplained;
    events[At(fault)].p_unexplained = 0;
    events[At(fault)].causes.push_back({root, 1});
    events.push_back(std::move(event));
    own_root_.emplace_back(fault, root);
    return root;
  }

  Ancestry part_;
  std::vector<int> place_events_;
  std::vector<std::pair<int, int>> own_root_;  // faults with causes, and their roots
  double logp_struck_ = 0;
};

// Just these of the places that count: the bits of `set`.
std::vector<Supposition> Just(unsigned set, const std::vector<int>& place_events) {
  std::vector<Supposition> suppositions;
  for (std::size_t i = 0; i < place_events.size(); ++i) {
    const bool so = ((set >> i) & 1U) != 0;
    suppositions.push_back({place_events[i], so ? 0.0 : 1.0, so ? 1.0 : 0.0});
  }
  return suppositions;
}

// The network in one of its worlds, or as it is where there are none, ready to be asked for accounts.
class World {
 public:
  // `share`: of the world now; `chances`: its own. `bears`: roots, and what bears on reports in any world.
  World(Network network, double share, const Chances& chances, const Accounts& accounts,
        const std::vector<int>& bears, const BeliefLimits& limits)
      : full_(std::move(network)),
        placed_(full_, accounts, bears),
        share_(share),
        logp_reports_(chances.logp_reports) {
    CompiledNetwork::Options options;
    options.asked = placed_.place_events();
    options.max_entries = kMostEntries;
    for (const int event : AbsentFromReports(bears)) options.targets.push_back(placed_.index_of(event));
    has_ends_ = !options.targets.empty();
    tree_.emplace(placed_.network(), limits, options);
    fits_ = tree_->Build();
  }
  World(const World&) = delete;  // the tree refers to the network
  World& operator=(const World&) = delete;

  bool fits() const { return fits_; }

  // That it is this world, and in it just these places.
  double Chance(unsigned set) {
    const double logp = tree_->LogChance(Just(set, placed_.place_events())) + placed_.logp_struck();
    if (std::isnan(logp)) return 0;  // too rare to be told (asked_tree.h)
    return share_ * std::min(1.0, std::exp(logp - logp_reports_));
  }

  EventChances Given(unsigned set) {
    std::vector<double> p_event(placed_.network().events.size(), kNotComputed);
    std::vector<double> p_by_itself = p_event;
    tree_->Solve(Just(set, placed_.place_events()), has_ends_, &p_event, &p_by_itself);
    return placed_.Given(full_.events.size(), p_event, p_by_itself);
  }

 private:
  // What bears on reports in another world alone.
  std::vector<int> AbsentFromReports(const std::vector<int>& bears) const {
    const std::vector<char> here = BearsOnReports(full_);
    std::vector<int> absent;
    std::copy_if(bears.begin(), bears.end(), std::back_inserter(absent),
                 [&](int event) { return here[At(event)] == 0; });
    return absent;
  }

  Network full_;
  PlacedNetwork placed_;
  double share_ = 1;
  double logp_reports_ = 0;
  std::optional<CompiledNetwork> tree_;
  bool has_ends_ = false;
  bool fits_ = false;
};

// The worlds that are possible; none where one of their trees is too wide.
std::vector<std::unique_ptr<World>> WorldsOf(const Network& network, const Chances& chances,
                                             const Accounts& accounts, const BeliefLimits& limits) {
  std::vector<std::unique_ptr<World>> worlds;
  if (network.worlds.empty()) {
    worlds.push_back(std::make_unique<World>(network, 1, chances, accounts, std::vector<int>{}, limits));
  }
  std::vector<int> bears;
  std::vector<char> bears_in_any = BearsOnReports(network);
  for (const std::vector<int>& roots : accounts.roots) {  // perhaps by their world alone
    for (const int root : roots) bears_in_any[At(root)] = 1;
  }
  for (std::size_t e = 0; e < bears_in_any.size(); ++e) {
    if (bears_in_any[e] != 0) bears.push_back(static_cast<int>(e));
  }
  for (std::size_t w = 0; w < network.worlds.size(); ++w) {
    if (chances.p_world[w] <= 0) continue;
    worlds.push_back(std::make_unique<World>(InWorld(network, w), chances.p_world[w], chances.in_world[w],
                                             accounts, bears, limits));
  }
  if (std::any_of(worlds.begin(), worlds.end(), [](const auto& world) { return !world->fits(); }))
    worlds.clear();
  return worlds;
}

// What an account says of every event, over the worlds.
EventChances GivenIn(const std::vector<std::unique_ptr<World>>& worlds, unsigned set) {
  if (worlds.size() == 1) return worlds.front()->Given(set);
  std::vector<double> p;
  for (const auto& world : worlds) p.push_back(world->Chance(set));
  const double sum = std::accumulate(p.begin(), p.end(), 0.0);
  EventChances mean;
  for (std::size_t w = 0; w < worlds.size(); ++w) {
    if (p[w] <= 0) continue;
    const EventChances given = worlds[w]->Given(set);
    AddShare(p[w] / sum, given.p_event, mean.p_event);
    AddShare(p[w] / sum, given.p_by_itself, mean.p_by_itself);
  }
  return mean;
}

}  // namespace

bool Bears(const Network& network, const Chances& chances, int fault) {
  return OddsRoseBy(kLeastOddsFactor, network.events[At(fault)].p_unexplained,
                    chances.p_by_itself[At(fault)]);
}

Accounts ComputeAccounts(const Network& network, const Chances& chances, const std::vector<int>& place_of,
                         const BeliefLimits& limits, const AccountOptions& options) {
  Accounts accounts;
  if (!chances.exact || !chances.possible) return accounts;
  for (std::size_t i = 0; i < place_of.size(); ++i) {
    if (place_of[i] < 0 || !Bears(network, chances, static_cast<int>(i))) continue;
    if (accounts.roots.size() <= At(place_of[i])) accounts.roots.resize(At(place_of[i]) + 1);
    accounts.roots[At(place_of[i])].push_back(static_cast<int>(i));
  }
  if (accounts.roots.empty()) return accounts;
  accounts.counted = CountedPlaces(accounts, chances, options);
  const auto worlds = WorldsOf(network, chances, accounts, limits);
  if (worlds.empty()) return accounts;

  std::vector<std::pair<unsigned, Account>> found;
  for (unsigned set = 0; set < (1U << accounts.counted.size()); ++set) {
    if (std::popcount(set) > options.most_at_once) continue;
    Account account;
    for (std::size_t i = 0; i < accounts.counted.size(); ++i) {
      if (((set >> i) & 1U) != 0) account.places.push_back(accounts.counted[i]);
    }
    for (const auto& world : worlds) account.p += world->Chance(set);
    found.emplace_back(set, std::move(account));
  }
  std::sort(found.begin(), found.end(), [](const auto& a, const auto& b) {
    if (ForOrder(a.second.p) != ForOrder(b.second.p)) return a.second.p > b.second.p;
    if (a.second.places.size() != b.second.places.size())
      return a.second.places.size() < b.second.places.size();
    return a.second.places < b.second.places;
  });
  for (auto& [set, account] : found) {
    if (std::ssize(accounts.all) < options.in_full && account.p > 0) account.given = GivenIn(worlds, set);
    accounts.all.push_back(std::move(account));
  }
  return accounts;
}

}  // namespace gearwhy
