#include "engine/belief/how_common.h"

#include "engine/belief/chances.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"

namespace gearwhy {

namespace {

// `network`: of one world.
std::vector<double> GlanceAt(const Network& network) {
  std::vector<double> glanced(network.events.size(), 0);
  for (const int event : CausesFirst(network)) {
    const Event& one = network.events[At(event)];
    double p_absent = 1 - one.p_unexplained;
    for (const Cause& cause : one.causes) p_absent *= 1 - cause.p_how_often * glanced[At(cause.event)];
    glanced[At(event)] = 1 - p_absent;
  }
  return glanced;
}

}  // namespace

HowCommon::HowCommon(Network network) : network_(std::move(network)) {
  network_.reports.clear();
  if (network_.worlds.empty()) {
    glanced_ = GlanceAt(network_);
    return;
  }
  for (std::size_t w = 0; w < network_.worlds.size(); ++w)
    AddShare(network_.worlds[w], GlanceAt(InWorld(network_, w)), glanced_);
}

double HowCommon::Of(int event) const {
  {
    const std::lock_guard lock(solving_);
    if (const auto it = solved_.find(event); it != solved_.end()) return it->second;
  }
  const Ancestry part = AncestorsOfReports(network_, {event});
  BeliefLimits limits;
  limits.also = {part.index_of[At(event)]};
  const Chances chances = ComputeChances(part.network, limits);
  const double p = chances.exact ? chances.p_event[At(limits.also.front())] : glanced_[At(event)];
  const std::lock_guard lock(solving_);
  return solved_.emplace(event, p).first->second;
}

}  // namespace gearwhy
