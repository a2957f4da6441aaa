#include "engine/belief/how_common.h"

#include "engine/belief/chances.h"
#include "engine/text/at.h"

namespace gearwhy {

HowCommon::HowCommon(Network network) : network_(std::move(network)), glanced_(network_.events.size(), 0) {
  network_.reports.clear();
  for (const int event : CausesFirst(network_)) {
    const Event& one = network_.events[At(event)];
    double p_absent = 1 - one.p_unexplained;
    for (const Cause& cause : one.causes) p_absent *= 1 - cause.p_how_often * glanced_[At(cause.event)];
    glanced_[At(event)] = 1 - p_absent;
  }
}

double HowCommon::Of(int event) const {
  {
    const std::lock_guard lock(solving_);
    if (const auto it = solved_.find(event); it != solved_.end()) return it->second;
  }
  BeliefLimits limits;
  limits.also = {event};
  const double p = ComputeChances(network_, limits).p_event[At(event)];
  const std::lock_guard lock(solving_);
  return solved_.emplace(event, p).first->second;
}

}  // namespace gearwhy
