#include "engine/belief/chances.h"

#include <cmath>
#include <limits>

#include "engine/belief/approximate.h"
#include "engine/belief/compiled_network.h"
#include "engine/belief/groups.h"
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

// The answer to reports that contradict each other: the chances without them.
Chances PriorOf(const Network& network, const BeliefLimits& limits, const Chances& contradicted) {
  Network unreported = network;
  unreported.reports.clear();
  BeliefLimits wanted = limits;
  const std::vector<char> bears = BearsOnReports(network);
  for (size_t i = 0; i < bears.size(); ++i) {
    if (bears[i] != 0) wanted.also.push_back(static_cast<int>(i));
  }
  Chances prior = ComputeChances(unreported, wanted);
  prior.logp_reports = contradicted.logp_reports;
  prior.possible = false;
  prior.width = contradicted.width;
  return prior;
}

}  // namespace

Chances ComputeChances(const Network& network, const BeliefLimits& limits) {
  const size_t count = network.events.size();
  const std::vector<int> outsiders = CausedOutsiders(network, limits);
  CompiledNetwork::Options with_outsiders;
  with_outsiders.targets = outsiders;
  auto compiled = std::make_unique<CompiledNetwork>(network, limits, with_outsiders);
  bool one_tree = outsiders.empty() || (compiled->fits() && compiled->entries() <= kSmallTree);
  if (!one_tree) {
    auto alone = std::make_unique<CompiledNetwork>(network, limits, CompiledNetwork::Options{});
    one_tree = compiled->fits() && compiled->entries() <= kHardlyLarger * alone->entries();
    if (!one_tree) compiled = std::move(alone);
  }

  Chances chances;
  if (!compiled->Build()) {
    if (limits.samples == 0) {
      chances.exact = false;
      chances.p_event.assign(count, kNotComputed);
      chances.p_by_itself.assign(count, kNotComputed);
      return chances;
    }
    chances = ApproximateChances(network, limits);
    chances.width = compiled->width();
    return chances.logp_reports == kMinusInfinity ? PriorOf(network, limits, chances) : chances;
  }
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
    const std::vector<int> too_wide =
        ForEachGroup(network, limits, outsiders, [&](CompiledNetwork& group, const std::vector<int>&) {
          group.Solve({}, true, &chances.p_event, &chances.p_by_itself);
        });
    chances.exact = too_wide.empty();
    if (!too_wide.empty() && limits.samples > 0) {
      const Chances sampled = ApproximateChances(network, limits);
      chances.error = sampled.error;
      for (int event : too_wide) {
        chances.p_event[At(event)] = sampled.p_event[At(event)];
        chances.p_by_itself[At(event)] = sampled.p_by_itself[At(event)];
      }
    }
  }
  return chances;
}

}  // namespace gearwhy
