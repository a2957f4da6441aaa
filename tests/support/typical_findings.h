// Typical findings: what a fault, alone in the world, is expected to show.
//
// In: a network with nothing reported, and a fault of it. Out: its typical findings, and how often it alone
// brings about each event.
//
// A finding is typical when it is reached from the fault over links that each act `p_usually` or more; so
// everything on the way is reached usually, too, while the product over the way may be less. A fault that
// reaches no finding so has one typical finding: the one it brings about most often (ties: the first by id).
// A fault that reaches no finding at all has none. "Alone" means: the fault is present, every other event is
// unexplained with chance 0, so only what it causes happens. Those chances are exact, from the engine, on the
// part of the network behind the fault.
#pragma once

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "engine/belief/chances.h"
#include "engine/belief/network.h"

namespace gearwhy {

// Effects of each event, as (effect, how often).
inline std::vector<std::vector<Cause>> EffectsOf(const Network& network) {
  std::vector<std::vector<Cause>> effects(network.events.size());
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    for (const Cause& cause : network.events[i].causes) {
      effects[static_cast<std::size_t>(cause.event)].push_back({static_cast<int>(i), cause.p_how_often});
    }
  }
  return effects;
}

// What is reached from an event over links that act at least so often, itself among them; ascending.
inline std::vector<int> Reached(const std::vector<std::vector<Cause>>& effects, int from, double p_at_least) {
  std::vector<char> seen(effects.size(), 0);
  std::vector<int> reached = {from};
  seen[static_cast<std::size_t>(from)] = 1;
  for (std::size_t next = 0; next < reached.size(); ++next) {
    for (const Cause& effect : effects[static_cast<std::size_t>(reached[next])]) {
      if (effect.p_how_often < p_at_least || effect.p_how_often <= 0) continue;
      if (std::exchange(seen[static_cast<std::size_t>(effect.event)], char{1}) == 0)
        reached.push_back(effect.event);
    }
  }
  std::sort(reached.begin(), reached.end());
  return reached;
}

// P(event | the fault alone) of these events, in their order; 0 for what is not behind it.
inline std::vector<double> ChancesAlone(const Network& network,
                                        const std::vector<std::vector<Cause>>& effects, int fault,
                                        const std::vector<int>& wanted) {
  const std::vector<int> behind = Reached(effects, fault, 0);
  std::vector<int> index(network.events.size(), -1);
  for (std::size_t i = 0; i < behind.size(); ++i)
    index[static_cast<std::size_t>(behind[i])] = static_cast<int>(i);
  Network alone;
  for (const int event : behind) {
    const Event& whole = network.events[static_cast<std::size_t>(event)];
    Event part{whole.id, whole.type, event == fault ? 1.0 : 0.0, {}};
    for (const Cause& cause : whole.causes) {
      const int at = index[static_cast<std::size_t>(cause.event)];
      if (event != fault && at >= 0) part.causes.push_back({at, cause.p_how_often});
    }
    alone.events.push_back(std::move(part));
  }
  BeliefLimits limits;
  for (const int event : wanted) {
    if (const int at = index[static_cast<std::size_t>(event)]; at >= 0) limits.also.push_back(at);
  }
  const Chances chances = ComputeChances(alone, limits);
  std::vector<double> p;
  for (const int event : wanted) {
    const int at = index[static_cast<std::size_t>(event)];
    p.push_back(at < 0 ? 0 : chances.p_event[static_cast<std::size_t>(at)]);
  }
  return p;
}

// What a fault typically shows, and how often it does, alone.
struct Typical {
  std::vector<int> findings;  // ascending
  std::vector<double> p_alone;
};

inline Typical TypicalFindings(const Network& network, const std::vector<std::vector<Cause>>& effects,
                               int fault, double p_usually) {
  const auto findings_reached = [&](double p_at_least) {
    std::vector<int> reached = Reached(effects, fault, p_at_least);
    std::erase_if(reached, [&](int e) {
      return network.events[static_cast<std::size_t>(e)].type != EventType::kFinding;
    });
    return reached;
  };
  Typical typical;
  typical.findings = findings_reached(p_usually);
  if (!typical.findings.empty()) {
    typical.p_alone = ChancesAlone(network, effects, fault, typical.findings);
    return typical;
  }
  const std::vector<int> all = findings_reached(0);
  const std::vector<double> p = ChancesAlone(network, effects, fault, all);
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto id = [&](int e) -> const std::string& {
      return network.events[static_cast<std::size_t>(e)].id;
    };
    const bool better = typical.findings.empty() || p[i] > typical.p_alone[0] ||
                        (p[i] == typical.p_alone[0] && id(all[i]) < id(typical.findings[0]));
    if (better) typical = {{all[i]}, {p[i]}};
  }
  return typical;
}

// Whether these findings cannot tell two faults apart: they are typical of both, and either alone brings each
// about as often, to within one in a hundred.
inline bool AreTwins(const Typical& a, const Typical& b) {
  if (a.findings != b.findings) return false;
  return std::equal(a.p_alone.begin(), a.p_alone.end(), b.p_alone.begin(),
                    [](double p, double q) { return std::abs(p - q) <= 0.01; });
}

}  // namespace gearwhy
