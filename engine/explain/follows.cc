#include "engine/explain/follows.h"

#include <queue>
#include <utility>

#include "engine/text/at.h"

namespace gearwhy {

bool Follows::From(int cause, int effect) { return Above(effect).contains(cause); }

const std::map<int, double>& Follows::Above(int effect) {
  const auto [it, is_new] = above_.try_emplace(effect);
  if (!is_new) return it->second;
  std::priority_queue<std::pair<double, int>> open;  // the best way first
  open.emplace(1.0, effect);
  while (!open.empty()) {
    const auto [way, event] = open.top();
    open.pop();
    if (event != effect && !it->second.emplace(event, way).second) continue;
    for (const Cause& cause : network_.events[At(event)].causes) {
      const double longer = way * cause.p_how_often;
      if (longer >= least_way_ && !it->second.contains(cause.event)) open.emplace(longer, cause.event);
    }
  }
  return it->second;
}

}  // namespace gearwhy
