// A drawn transmission: what is so in one unit, drawn from its network cause by cause, and a complaint with what is behind it.
//
// In: a ground network without reports, its events causes first, a source of chance. Out: for every event whether it is so, whether it
// arose by itself, and which of its causes brought it about.
// Method. In the order of causes, an event arises by itself with `p_unexplained`, and each of its causes that is there brings it about
// with `p_how_often`: the noisy-OR the network states, drawn forward.
// Source: Henrion 1988 (logic sampling) - from memory.
#pragma once

#include <cstddef>
#include <random>
#include <vector>

#include "engine/belief/network.h"

namespace gearwhy {

// The same numbers on every machine, as the standard's distributions need not be.
inline double Uniform(std::mt19937_64& random) { return static_cast<double>(random() >> 11) * 0x1.0p-53; }

struct DrawnTransmission {
  std::vector<char> present;              // by event
  std::vector<char> by_itself;            // by event
  std::vector<std::vector<int>> led_by;   // by event: the causes that brought it about
};

inline DrawnTransmission Draw(const Network& network, const std::vector<int>& causes_first, std::mt19937_64& random) {
  DrawnTransmission drawn;
  drawn.present.assign(network.events.size(), 0);
  drawn.by_itself.assign(network.events.size(), 0);
  drawn.led_by.resize(network.events.size());
  for (const int e : causes_first) {
    const std::size_t i = static_cast<std::size_t>(e);
    const Event& event = network.events[i];
    drawn.by_itself[i] = Uniform(random) < event.p_unexplained;
    for (const Cause& cause : event.causes) {
      if (drawn.present[static_cast<std::size_t>(cause.event)] && Uniform(random) < cause.p_how_often)
        drawn.led_by[i].push_back(cause.event);
    }
    drawn.present[i] = drawn.by_itself[i] || !drawn.led_by[i].empty();
  }
  return drawn;
}

// The faults that arose by themselves and led to `finding`, step by step. Ascending.
inline std::vector<int> FaultsBehind(const Network& network, const DrawnTransmission& drawn, int finding) {
  std::vector<char> met(network.events.size(), 0);
  std::vector<int> open = {finding};
  while (!open.empty()) {
    const std::size_t i = static_cast<std::size_t>(open.back());
    open.pop_back();
    if (met[i]) continue;
    met[i] = 1;
    open.insert(open.end(), drawn.led_by[i].begin(), drawn.led_by[i].end());
  }
  std::vector<int> faults;
  for (std::size_t i = 0; i < met.size(); ++i) {
    if (met[i] && drawn.by_itself[i] && network.events[i].type == EventType::kFault) faults.push_back(static_cast<int>(i));
  }
  return faults;
}

}  // namespace gearwhy
