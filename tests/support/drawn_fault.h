// Drawn fault: a transmission that is ill in a way the rulebook thinks possible, for benchmarks that need somebody to ask.
//
// In: a network, which of its events a customer may come with, a seeded generator. Out: what is so in one transmission, cause by
// cause, with a complaint that a fault has brought about.
// Method: every event is drawn behind its causes (forward sampling), again until there is a complaint behind which a fault lies.
#pragma once

#include <cstddef>
#include <random>
#include <vector>

#include "engine/belief/network.h"

namespace gearwhy {

struct DrawnFault {
  std::vector<char> present;  // by event
  int complaint = -1;
  std::vector<char> behind;   // by event: a fault that arose by itself and led to the complaint
};

// From 0 to below 1, the same on every machine.
inline double Uniform(std::mt19937_64& random) { return static_cast<double>(random() >> 11) * 0x1.0p-53; }

inline DrawnFault DrawFault(const Network& world, const std::vector<int>& causes_first,
                            const std::vector<char>& may_be_complaint, std::mt19937_64& random) {
  const auto at = [](int event) { return static_cast<std::size_t>(event); };
  while (true) {
    DrawnFault drawn;
    drawn.present.assign(world.events.size(), 0);
    drawn.behind.assign(world.events.size(), 0);
    std::vector<std::vector<int>> led_by(world.events.size());
    std::vector<char> by_itself(world.events.size(), 0);
    std::vector<int> complaints;
    for (const int e : causes_first) {
      const Event& event = world.events[at(e)];
      by_itself[at(e)] = Uniform(random) < event.p_unexplained;
      for (const Cause& cause : event.causes) {
        if (drawn.present[at(cause.event)] && Uniform(random) < cause.p_how_often) led_by[at(e)].push_back(cause.event);
      }
      drawn.present[at(e)] = by_itself[at(e)] || !led_by[at(e)].empty();
      if (drawn.present[at(e)] && may_be_complaint[at(e)]) complaints.push_back(e);
    }
    if (complaints.empty()) continue;
    drawn.complaint = complaints[random() % complaints.size()];
    std::vector<int> open = {drawn.complaint};
    std::vector<char> met(world.events.size(), 0);
    bool any = false;
    while (!open.empty()) {
      const int e = open.back();
      open.pop_back();
      if (met[at(e)]) continue;
      met[at(e)] = 1;
      if (by_itself[at(e)] && world.events[at(e)].type == EventType::kFault) {
        drawn.behind[at(e)] = 1;
        any = true;
      }
      for (const int cause : led_by[at(e)]) open.push_back(cause);
    }
    if (any) return drawn;
  }
}

}  // namespace gearwhy
