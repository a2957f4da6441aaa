#include "engine/belief/twin.h"

#include <utility>

namespace gearwhy {

Twin::Twin(const Network& network, const std::vector<char>& is_off, const Wanted& wanted) : twin_(network) {
  for (std::size_t i = 0; i < network.events.size(); ++i) kept_.push_back(static_cast<int>(i));
  brought_ = kept_;
  const std::vector<char> kept_matters = AndCausesOf(network, wanted.kept);
  const std::vector<char> whole_matters = AndCausesOf(network, wanted.whole);
  for (const int event : CausesFirst(network)) {
    if (is_off[At(event)] != 0) {
      kept_[At(event)] = kNever;
      continue;
    }
    const Event& whole = network.events[At(event)];
    const bool stays = wanted.faults_stay && whole.type == EventType::kFault;
    if (kept_matters[At(event)] != 0 && !stays) TellApart(whole, event, whole_matters[At(event)] != 0);
  }
}

void Twin::TellApart(const Event& whole, int event, bool whole_matters) {
  Event kept{whole.id + " kept", whole.type, whole.p_unexplained, {}, whole.in_world};
  Event brought{whole.id + " brought", whole.type, 0, {}};
  const auto link = [](Event& effect, int from, Cause cause) {
    cause.event = from;
    effect.causes.push_back(std::move(cause));
  };
  for (const Cause& cause : whole.causes) {
    if (cause.p_how_often <= 0) continue;
    const int still = kept_[At(cause.event)];
    if (still != kNever) link(kept, still, cause);
    if (still != cause.event) link(brought, brought_[At(cause.event)], cause);
  }
  if (brought.causes.empty()) return;
  const bool can_be = whole.p_unexplained > 0 || !whole.in_world.empty() || !kept.causes.empty();
  kept_[At(event)] = can_be ? Add(std::move(kept)) : kNever;
  if (!can_be || !whole_matters) return;
  brought_[At(event)] = Add(std::move(brought));
  Event& told_apart = twin_.events[At(event)];
  told_apart.p_unexplained = 0;
  told_apart.in_world.clear();
  told_apart.causes = {{kept_[At(event)], 1}, {brought_[At(event)], 1}};
}

int Twin::Add(Event event) {
  twin_.events.push_back(std::move(event));
  return static_cast<int>(twin_.events.size()) - 1;
}

}  // namespace gearwhy
