#include "engine/belief/network.h"

#include <algorithm>

#include "engine/text/at.h"

namespace gearwhy {

std::vector<char> AndCausesOf(const Network& network, const std::vector<int>& events) {
  std::vector<char> needed(network.events.size(), 0);
  std::vector<int> open;
  const auto need = [&](int event) {
    if (!needed[At(event)]) {
      needed[At(event)] = 1;
      open.push_back(event);
    }
  };
  for (int event : events) need(event);
  while (!open.empty()) {
    const int event = open.back();
    open.pop_back();
    for (const Cause& cause : network.events[At(event)].causes) {
      if (cause.p_how_often > 0) need(cause.event);
    }
  }
  return needed;
}

std::vector<char> BearsOnReports(const Network& network, const std::vector<int>& wanted) {
  std::vector<int> events = wanted;
  for (const Report& report : network.reports) {
    if (!report.left_out) events.push_back(report.event);
  }
  return AndCausesOf(network, events);
}

std::vector<int> CausesAdded(const Network& network, const std::vector<char>& bears, int event) {
  std::vector<int> added;
  if (bears[At(event)]) return added;
  for (const Cause& cause : network.events[At(event)].causes) {
    if (cause.p_how_often > 0 && !bears[At(cause.event)]) added.push_back(cause.event);
  }
  std::sort(added.begin(), added.end());
  return added;
}

Ancestry AncestorsOfReports(const Network& network, const std::vector<int>& wanted) {
  const size_t count = network.events.size();
  const std::vector<char> needed = BearsOnReports(network, wanted);
  Ancestry part;
  part.network.worlds = network.worlds;
  part.index_of.assign(count, -1);
  for (size_t i = 0; i < count; ++i) {
    if (!needed[i]) continue;
    part.index_of[i] = static_cast<int>(part.kept.size());
    part.kept.push_back(static_cast<int>(i));
  }
  for (int original : part.kept) {
    Event event = network.events[At(original)];
    std::erase_if(event.causes, [](const Cause& cause) { return cause.p_how_often <= 0; });
    for (Cause& cause : event.causes) cause.event = part.index_of[At(cause.event)];
    part.network.events.push_back(std::move(event));
  }
  for (Report report : network.reports) {  // of what is left out the event may be no part
    report.event = part.index_of[At(report.event)];
    part.network.reports.push_back(report);
  }
  return part;
}

// Depth-first with an explicit stack, so that a long chain of causes cannot overflow the program's.
std::vector<int> CausesFirst(const Network& network, std::vector<int>* cycle) {
  enum class Mark : char { kNew, kOpen, kDone };
  struct Visit {
    int event;
    size_t next_cause;
  };
  std::vector<Mark> mark(network.events.size(), Mark::kNew);
  std::vector<Visit> path;
  std::vector<int> order;
  if (cycle) cycle->clear();
  for (size_t start = 0; start < network.events.size(); ++start) {
    if (mark[start] != Mark::kNew) continue;
    mark[start] = Mark::kOpen;
    path.push_back({static_cast<int>(start), 0});
    while (!path.empty()) {
      const auto& causes = network.events[At(path.back().event)].causes;
      if (path.back().next_cause == causes.size()) {
        mark[At(path.back().event)] = Mark::kDone;
        order.push_back(path.back().event);
        path.pop_back();
        continue;
      }
      const int cause = causes[path.back().next_cause++].event;
      if (mark[At(cause)] == Mark::kNew) {
        mark[At(cause)] = Mark::kOpen;
        path.push_back({cause, 0});
      } else if (mark[At(cause)] == Mark::kOpen) {
        if (cycle) {
          // The path runs from effect to cause; a cycle is told from cause to effect.
          for (size_t i = path.size(); i-- > 0;) {
            cycle->push_back(path[i].event);
            if (path[i].event == cause) break;
          }
          std::rotate(cycle->begin(), cycle->end() - 1, cycle->end());
          std::reverse(cycle->begin() + 1, cycle->end());
          std::reverse(cycle->begin() + 1, cycle->end());
        }
        return {};
      }
    }
  }
  return order;
}

}  // namespace gearwhy
