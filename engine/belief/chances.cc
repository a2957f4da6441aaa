#include "engine/belief/chances.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/belief/compiled_network.h"
#include "engine/belief/groups.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();
constexpr double kNotComputed = std::numeric_limits<double>::quiet_NaN();

constexpr double kHardlyLarger = 1.2;  // times what the reports alone need

// Of the events wanted, those that nothing reported depends on and that have causes: their chances cost a
// question each.
std::vector<int> CausedOutsiders(const Network& network, const BeliefLimits& limits) {
  const std::vector<char> bears = BearsOnReports(network);
  std::vector<char> wanted(network.events.size(), limits.all_events);
  for (int event : limits.also) wanted[At(event)] = 1;
  std::vector<int> outsiders;
  for (size_t i = 0; i < network.events.size(); ++i) {
    const int event = static_cast<int>(i);
    if (wanted[i] && !bears[i] && !network.events[i].causes.empty()) {
      outsiders.push_back(event);
    }
  }
  return outsiders;
}

Chances ChancesInOne(const Network& network, const BeliefLimits& limits);

// The answer to reports that contradict each other: the chances without them.
Chances PriorOf(const Network& network, const BeliefLimits& limits, const Chances& contradicted) {
  Network unreported = network;
  unreported.reports.clear();
  BeliefLimits wanted = limits;
  const std::vector<char> bears = BearsOnReports(network);
  for (size_t i = 0; i < bears.size(); ++i) {
    if (bears[i] != 0) wanted.also.push_back(static_cast<int>(i));
  }
  Chances prior = ChancesInOne(unreported, wanted);
  prior.logp_reports = contradicted.logp_reports;
  prior.possible = false;
  prior.width = contradicted.width;
  return prior;
}

// Where the tree is too wide.
Chances NotKnown(const Network& network, int width) {
  Chances chances;
  chances.exact = false;
  chances.p_event.assign(network.events.size(), kNotComputed);
  chances.p_by_itself.assign(network.events.size(), kNotComputed);
  chances.logp_reports = kNotComputed;
  chances.width = width;
  return chances;
}

// Each in a tree with few others. Returns whether none is too wide.
bool TellOutsiders(const Network& network, const BeliefLimits& limits, const std::vector<int>& outsiders,
                   Chances& chances) {
  std::vector<std::vector<int>> each;
  for (const int event : outsiders) each.push_back({event});
  const auto make_tree = [&](const std::vector<int>& events) {
    CompiledNetwork::Options options;
    options.targets = events;
    return std::make_unique<CompiledNetwork>(network, limits, options);
  };
  bool all = true;
  for (Group& group : MakeGroups(network, limits, each, make_tree)) {
    if (group.tree->Build()) {
      group.tree->Solve({}, true, &chances.p_event, &chances.p_by_itself);
    } else {
      all = false;
    }
    group.tree.reset();
  }
  return all;
}

Chances ChancesInOne(const Network& network, const BeliefLimits& limits) {
  const size_t count = network.events.size();
  const std::vector<int> outsiders = CausedOutsiders(network, limits);
  CompiledNetwork::Options with_outsiders;
  with_outsiders.targets = outsiders;
  with_outsiders.max_entries = limits.max_entries;
  auto compiled = std::make_unique<CompiledNetwork>(network, limits, with_outsiders);
  bool one_tree = outsiders.empty() || (compiled->fits() && compiled->entries() <= kSmallTree);
  if (!one_tree) {
    CompiledNetwork::Options alone_options;
    alone_options.max_entries = limits.max_entries;
    auto alone = std::make_unique<CompiledNetwork>(network, limits, alone_options);
    one_tree = compiled->fits() && compiled->entries() <= kHardlyLarger * alone->entries();
    if (!one_tree) compiled = std::move(alone);
  }

  if (!compiled->Build()) return NotKnown(network, compiled->width());
  Chances chances;
  chances.width = compiled->width();
  chances.entries = compiled->entries();
  chances.p_event.assign(count, kNotComputed);
  chances.p_by_itself.assign(count, kNotComputed);
  // What no report depends on and nothing causes keeps its base chance.
  for (size_t i = 0; i < count; ++i) {
    if (network.events[i].causes.empty())
      chances.p_event[i] = chances.p_by_itself[i] = network.events[i].p_unexplained;
  }
  chances.logp_reports = compiled->Solve({}, one_tree, &chances.p_event, &chances.p_by_itself);
  if (chances.logp_reports == kMinusInfinity) return PriorOf(network, limits, chances);
  if (!one_tree) {
    chances.exact = TellOutsiders(network, limits, outsiders, chances);
  }
  return chances;
}

// The sum over worlds, all of whose chances are known.
Chances SumOver(const std::vector<double>& weights, std::vector<Chances> in_world, size_t count) {
  Chances sum;
  std::vector<double> logp;
  for (const Chances& one : in_world) logp.push_back(one.logp_reports);
  const WorldShares shares = SharesOf(weights, logp);
  sum.logp_reports = shares.logp;
  sum.possible = shares.logp > kMinusInfinity;
  sum.p_world = shares.share;
  sum.p_event.assign(count, 0);
  sum.p_by_itself.assign(count, 0);
  for (size_t w = 0; w < in_world.size(); ++w) {
    const Chances& one = in_world[w];
    const double share = shares.share[w];
    if (share <= 0) continue;
    AddShare(share, one.p_event, sum.p_event);
    AddShare(share, one.p_by_itself, sum.p_by_itself);
    sum.width = std::max(sum.width, one.width);
    sum.entries += one.entries;
  }
  sum.in_world = std::move(in_world);
  return sum;
}

}  // namespace

Chances ComputeChances(const Network& network, const BeliefLimits& limits) {
  if (network.worlds.empty()) return ChancesInOne(network, limits);
  // What bears on a report in one world has its chance in all.
  BeliefLimits these = limits;
  const std::vector<char> bears = BearsOnReports(network);
  for (size_t i = 0; i < bears.size(); ++i) {
    if (bears[i] != 0) these.also.push_back(static_cast<int>(i));
  }
  std::vector<Chances> in_world(network.worlds.size());
  for (size_t w = 0; w < in_world.size(); ++w) {
    in_world[w].logp_reports = kMinusInfinity;
    if (network.worlds[w] > 0) in_world[w] = ChancesInOne(InWorld(network, w), these);
  }
  const auto too_wide =
      std::find_if(in_world.begin(), in_world.end(), [](const Chances& one) { return !one.exact; });
  if (too_wide != in_world.end()) return NotKnown(network, too_wide->width);
  return SumOver(network.worlds, std::move(in_world), network.events.size());
}

}  // namespace gearwhy
