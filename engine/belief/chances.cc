#include "engine/belief/chances.h"

#include <cmath>
#include <limits>

#include "engine/belief/compiled_network.h"
#include "engine/belief/groups.h"

namespace gearwhy {
namespace {

constexpr double kNotComputed = std::numeric_limits<double>::quiet_NaN();

// Events that nothing reported depends on and that have causes: their chances cost a question each.
std::vector<int> CausedOutsiders(const Network& network, const CompiledNetwork& compiled) {
  std::vector<int> outsiders;
  for (size_t i = 0; i < network.events.size(); ++i) {
    const int event = static_cast<int>(i);
    if (compiled.place(event) == CompiledNetwork::Place::kOutside && !network.events[i].causes.empty()) {
      outsiders.push_back(event);
    }
  }
  return outsiders;
}

}  // namespace

Chances ComputeChances(const Network& network, const BeliefLimits& limits) {
  const size_t count = network.events.size();
  CompiledNetwork compiled(network, limits, {});

  Chances chances;
  chances.width = compiled.width();
  chances.p_event.assign(count, kNotComputed);
  chances.p_by_itself.assign(count, kNotComputed);
  // What no report depends on and nothing causes keeps its base chance.
  for (size_t i = 0; i < count; ++i) {
    if (network.events[i].causes.empty()) chances.p_event[i] = chances.p_by_itself[i] = network.events[i].p_unexplained;
  }
  chances.logp_reports = compiled.Solve({}, false, &chances.p_event, &chances.p_by_itself);
  if (chances.logp_reports == -std::numeric_limits<double>::infinity()) {
    Network unreported = network;
    unreported.reports.clear();
    BeliefLimits all = limits;
    all.all_events = true;
    Chances prior = ComputeChances(unreported, all);
    prior.logp_reports = chances.logp_reports;
    prior.possible = false;
    return prior;
  }
  if (limits.all_events) {
    ForEachGroup(network, limits, CausedOutsiders(network, compiled), false,
                 [&](CompiledNetwork& group, const std::vector<int>&) {
      group.Solve({}, true, &chances.p_event, &chances.p_by_itself);
    });
  }
  return chances;
}

}  // namespace gearwhy
