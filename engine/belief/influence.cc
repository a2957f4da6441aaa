// Influence: how much each report moves the odds of each event, by solving the network once without each, on
// one tree where that can be (chances.h). Of a network with worlds each is solved so; a report moves their
// shares as well.
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "engine/belief/chances.h"
#include "engine/belief/compiled_network.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kNotComputed = std::numeric_limits<double>::quiet_NaN();
constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();

double OddsFactor(double p_with, double p_without) {
  if (p_with == p_without) return 1;  // also both 0 or both 1
  return p_with / (1 - p_with) / (p_without / (1 - p_without));
}

// The chances of events given some reports, and those reports' own.
struct Given {
  std::vector<double> p;  // by event
  double logp = kMinusInfinity;
  bool is_known = true;  // else it is too wide, or too few digits are left (asked_tree.h)

  bool IsPossible() const { return std::isfinite(logp); }
};

// One world: given all reports, and given all but each of them.
struct WithAndWithout {
  Given with;
  std::vector<Given> without;  // by report; empty when the reports cannot all be and nobody needs it
  bool exact = true;
};

Given Suppose(CompiledNetwork& compiled, std::size_t events, const std::vector<Supposition>& suppositions) {
  Given given;
  given.p.assign(events, kNotComputed);
  std::vector<double> p_by_itself = given.p;
  given.logp = compiled.Solve(suppositions, true, &given.p, &p_by_itself);
  given.is_known = !std::isnan(given.logp);
  return given;
}

// The chances of `events` given the reports of `network`.
Given ChancesOf(const Network& network, const std::vector<int>& events, const BeliefLimits& limits) {
  CompiledNetwork::Options options;
  options.targets = events;
  CompiledNetwork compiled(network, limits, options);
  if (!compiled.Build()) return {{}, kMinusInfinity, false};
  return Suppose(compiled, network.events.size(), {});
}

// `part`: one world's. `even_if_impossible`: also where its reports cannot all be.
WithAndWithout SolveWithAndWithout(const Network& part, const std::vector<int>& events,
                                   const BeliefLimits& limits, bool even_if_impossible) {
  CompiledNetwork::Options options;
  options.targets = events;
  options.retractable = true;
  for (const Report& report : part.reports) {
    if (!report.left_out) options.asked.push_back(report.event);
  }
  CompiledNetwork compiled(part, limits, options);
  const bool fits = compiled.Build();
  const auto supposing = [&](const std::vector<Supposition>& suppositions) {
    return Suppose(compiled, part.events.size(), suppositions);
  };

  WithAndWithout given;
  given.with = fits ? supposing({}) : ChancesOf(part, events, limits);
  given.exact = given.with.is_known;
  if (!given.with.IsPossible() && !even_if_impossible) return given;
  Network without = part;
  for (size_t k = 0; k < part.reports.size(); ++k) {
    if (part.reports[k].left_out) {
      given.without.push_back(given.with);
      continue;
    }
    std::optional<std::vector<Supposition>> suppositions;
    if (fits && given.with.IsPossible()) suppositions = compiled.TakeBack(part.reports[k]);
    if (suppositions) {
      given.without.push_back(supposing(*suppositions));
    } else {
      without.reports = part.reports;
      without.reports.erase(without.reports.begin() + static_cast<std::ptrdiff_t>(k));
      given.without.push_back(ChancesOf(without, events, limits));
    }
    given.exact &= given.without.back().is_known;
  }
  return given;
}

// The same summed over worlds, where it is worked out in all that are possible.
Given SumOver(const std::vector<double>& weights, const std::vector<const Given*>& in_world) {
  std::vector<double> logp;
  for (const Given* one : in_world) logp.push_back(one == nullptr ? kMinusInfinity : one->logp);
  const WorldShares shares = SharesOf(weights, logp);
  Given sum{{}, shares.logp, true};
  if (!sum.IsPossible()) return sum;
  for (size_t w = 0; w < in_world.size(); ++w) {
    if (shares.share[w] <= 0) continue;
    if (!in_world[w]->is_known) return {{}, shares.logp, false};
    AddShare(shares.share[w], in_world[w]->p, sum.p);
  }
  return sum;
}

// `part`: with worlds. `outside`: for each world the chances of the events that no report bears on, which are
// put behind those of the part.
WithAndWithout SumOverWorlds(const Network& part, const std::vector<int>& events,
                             const std::vector<std::vector<double>>& outside, const BeliefLimits& limits) {
  std::vector<WithAndWithout> in_world(part.worlds.size());
  for (size_t w = 0; w < in_world.size(); ++w) {
    if (part.worlds[w] <= 0) continue;
    in_world[w] = SolveWithAndWithout(InWorld(part, w), events, limits, true);
    const auto append = [&](Given& given) {
      if (given.is_known) given.p.insert(given.p.end(), outside[w].begin(), outside[w].end());
    };
    append(in_world[w].with);
    for (Given& given : in_world[w].without) append(given);
  }
  const auto summed = [&](const auto& of) {
    std::vector<const Given*> each;
    for (const WithAndWithout& one : in_world) each.push_back(of(one));
    return SumOver(part.worlds, each);
  };
  WithAndWithout sum;
  for (const WithAndWithout& one : in_world) sum.exact &= one.exact;
  sum.with = summed([](const WithAndWithout& one) { return &one.with; });
  for (size_t k = 0; k < part.reports.size(); ++k) {
    sum.without.push_back(summed(
        [&](const WithAndWithout& one) { return k < one.without.size() ? &one.without[k] : nullptr; }));
  }
  return sum;
}

// Faults that nothing causes and no report bears on: they move with the worlds alone.
std::vector<int> MovedByWorldsAlone(const Network& network, const Ancestry& ancestry) {
  std::vector<int> events;
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    const Event& event = network.events[i];
    if (event.type == EventType::kFault && event.causes.empty() && ancestry.index_of[i] < 0)
      events.push_back(static_cast<int>(i));
  }
  return events;
}

}  // namespace

Influence ComputeInfluence(const Network& network, const BeliefLimits& limits,
                           const std::vector<int>& events) {
  const Ancestry ancestry = AncestorsOfReports(network);
  std::vector<char> is_wanted(network.events.size(), events.empty());
  for (const int event : events) is_wanted[At(event)] = 1;
  const Network& part = ancestry.network;
  std::vector<int> told = ancestry.kept;  // by what is given: the event that it is of
  std::vector<int> wanted;                // of the part
  for (size_t i = 0; i < told.size(); ++i) {
    if (is_wanted[At(told[i])] != 0) wanted.push_back(static_cast<int>(i));
  }
  WithAndWithout given;
  if (network.worlds.empty()) {
    given = SolveWithAndWithout(part, wanted, limits, false);
  } else {
    const std::vector<int> alone = MovedByWorldsAlone(network, ancestry);
    std::vector<std::vector<double>> outside(network.worlds.size());
    for (size_t w = 0; w < outside.size(); ++w) {
      for (const int moved : alone) {
        const Event& event = network.events[At(moved)];
        outside[w].push_back(event.in_world.empty() ? event.p_unexplained : event.in_world[w]);
      }
    }
    told.insert(told.end(), alone.begin(), alone.end());
    given = SumOverWorlds(part, wanted, outside, limits);
  }
  Influence influence;
  influence.odds_factor.assign(network.reports.size(), std::vector<double>(network.events.size(), 1.0));
  influence.exact = given.exact;
  if (!given.with.IsPossible() || !given.with.is_known) return influence;
  for (size_t k = 0; k < given.without.size(); ++k) {
    if (!given.without[k].is_known) continue;
    for (size_t i = 0; i < told.size(); ++i) {
      if (is_wanted[At(told[i])] != 0)
        influence.odds_factor[k][At(told[i])] = OddsFactor(given.with.p[i], given.without[k].p[i]);
    }
  }
  return influence;
}

}  // namespace gearwhy
