// Drawn trouble: what is so in one transmission, drawn from the network of its unit cause by cause, and a
// complaint with the faults behind it, for benchmarks that need somebody to ask.
//
// In: a ground network without reports, its events causes first, a source of chance. Out: for every event
// whether it is so, and one finding as the complaint.
// Method. In the order of causes, an event arises by itself with `p_unexplained`, and each of its causes that
// is there brings it about with `p_how_often`: the noisy-OR the network states, drawn forward. The complaint
// is one of the findings that are there and that a customer has words for, any as likely, behind which a
// fault lies. Whoever looks at the part that has failed sees it: the finding that shows a fault behind the
// complaint best is always there. A complaint that is itself such a sight needs no interview, and a fault
// without one can be confirmed by nobody; neither is drawn.
// Source: Henrion 1988 (logic sampling) - from memory.
#pragma once

#include <algorithm>
#include <cstddef>
#include <random>
#include <utility>
#include <vector>

#include "engine/advise/confirm.h"
#include "engine/ground/ground.h"

namespace gearwhy {

// The same numbers on every machine, as the standard's distributions need not be.
inline double Uniform(std::mt19937_64& random) { return static_cast<double>(random() >> 11) * 0x1.0p-53; }

struct DrawnTransmission {
  std::vector<char> present;             // by event
  std::vector<char> by_itself;           // by event
  std::vector<std::vector<int>> led_by;  // by event: the causes that brought it about
};

inline DrawnTransmission Draw(const Network& network, const std::vector<int>& causes_first,
                              std::mt19937_64& random) {
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
    if (met[i] && drawn.by_itself[i] && network.events[i].type == EventType::kFault)
      faults.push_back(static_cast<int>(i));
  }
  return faults;
}

// What shows which fault to whoever looks.
struct Sights {
  std::vector<std::vector<std::pair<int, int>>> of_check;  // by ground check: finding, fault
  // By event: the finding that shows the fault best; -1 for none.
  std::vector<int> best;
};
inline Sights SightsOf(const Words& words, const Network& network, const std::vector<GroundCheck>& checks) {
  Sights sights;
  sights.of_check.resize(checks.size());
  sights.best.assign(network.events.size(), -1);
  std::vector<double> p_best(network.events.size(), 0);
  const Confirmation confirmation(words, network, checks);
  for (const Look& look : confirmation.looks()) {
    for (const Sight& sight : look.sights) {
      const std::size_t fault = static_cast<std::size_t>(sight.fault);
      sights.of_check[look.check].emplace_back(sight.finding, sight.fault);
      if (sight.p_seen <= p_best[fault]) continue;
      p_best[fault] = sight.p_seen;
      sights.best[fault] = sight.finding;
    }
  }
  return sights;
}

// By event: findings that a customer has words for.
inline std::vector<char> PossibleComplaints(const GroundNetwork& ground) {
  std::vector<char> possible;
  for (const GroundEvent& event : ground.events)
    possible.push_back(event.word->type == WordType::kFinding && !event.word->ask.empty());
  return possible;
}

// A transmission with its complaint.
struct Trouble {
  std::vector<char> present;  // by event
  int complaint = -1;
  std::vector<char> behind;  // by event: a fault that led to the complaint
};

// Draws until there is a complaint with a fault behind it that can be seen; `blind`, if given, counts those
// that cannot.
inline Trouble DrawTrouble(const Network& world, const std::vector<int>& causes_first,
                           const std::vector<char>& may_be_complaint, const Sights& sights,
                           std::mt19937_64& random, int* blind = nullptr) {
  while (true) {
    const DrawnTransmission drawn = Draw(world, causes_first, random);
    std::vector<int> complaints;
    for (std::size_t e = 0; e < world.events.size(); ++e) {
      if (drawn.present[e] && may_be_complaint[e]) complaints.push_back(static_cast<int>(e));
    }
    if (complaints.empty()) continue;
    Trouble trouble{drawn.present, complaints[random() % complaints.size()],
                    std::vector<char>(world.events.size(), 0)};
    const std::vector<int> faults = FaultsBehind(world, drawn, trouble.complaint);
    if (faults.empty()) continue;
    bool seen_already = false;
    bool can_be_seen = false;
    for (const int fault : faults) {
      for (const auto& of_check : sights.of_check)
        seen_already |= std::count(of_check.begin(), of_check.end(), std::pair(trouble.complaint, fault)) > 0;
      can_be_seen |= sights.best[static_cast<std::size_t>(fault)] >= 0;
    }
    if (seen_already) continue;
    if (!can_be_seen) {
      if (blind != nullptr) ++*blind;
      continue;
    }
    for (const int fault : faults) {
      trouble.behind[static_cast<std::size_t>(fault)] = 1;
      const int sight = sights.best[static_cast<std::size_t>(fault)];
      if (sight >= 0) trouble.present[static_cast<std::size_t>(sight)] = 1;
    }
    return trouble;
  }
}

}  // namespace gearwhy
