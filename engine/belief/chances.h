// Chances: the exact chance of every event given all reports, with several faults at once.
//
// In: a network.
// Out: for each event its chance, the chance that it arose by itself, and the log-probability of the
// reports.
//
// Method. An event whose reports are certain and absent is absorbed into its causes in linear time, and the
// rest is summed on an OR tree (or_tree.h): one for all, if events that no report bears on make it hardly
// larger, otherwise these have trees of their own. They are trees whose tables hold only non-negative
// numbers, scaled so that twenty rare findings do not underflow. No alternating sums: those cancel
// catastrophically when rare findings coincide. Too wide: when the largest clique would pass `max_width`
// variables, or the tables too many numbers, there are no chances (NaN), and `exact` is false: then something
// has to be taken for certain (firm_reports.h) or left out (left_out.h). A network with worlds is solved in
// each, and the chances are summed (worlds.h).
// Cost: about events * 2^width to events * 3^width.
// Errors: none; the network must be sound (acyclic, chances in 0..1, indices in range), which the caller
// sees to.
// Source: Heckerman & Breese 1996, Zhang & Poole 1996 (causal independence) - from memory.
#pragma once

#include <memory>
#include <vector>

#include "engine/belief/network.h"

namespace gearwhy {

struct BeliefLimits {
  int max_width = 24;        // variables in the largest clique; at least 3 is taken
  double max_entries = 6e6;  // of the tables of a tree of ComputeChances; more is too wide
  // Entries of the trees times their passes that ComputeAnswers may spend: some 50 ms.
  double answer_work = 1.5e6;
  bool all_events = false;  // also the chances of events that no report depends on; see Chances
  std::vector<int> also;    // of these of them, at least
};

// Every event that nothing causes, every ancestor of a report (but parts, see below) and every reported event
// has its chance. The chance of another event (a fault, state or finding nobody reported, from which no
// reported one follows) is NaN, "not computed", unless `all_events` or `also` asks for it, which costs a few
// times as much. It is then exact too. So it is of a finding nobody reported that is no more than a case of
// one other (its link is 1).
struct Chances {
  std::vector<double> p_event;      // by event
  std::vector<double> p_by_itself;  // by event: present and arisen by itself (its own p_unexplained struck)
  double logp_reports = 0;          // natural logarithm; -infinity when the reports cannot all be
  // False: the reports contradict each other with certainty; the chances are then the prior's.
  bool possible = true;
  bool exact = true;
  int width = 0;       // variables in the largest clique
  double entries = 0;  // numbers in all tables of the tree: what one pass costs
  // Of a network with worlds: how likely each has become, and its own chances, which are only worked out
  // where it has a weight. Empty for one without.
  std::vector<double> p_world;
  std::vector<Chances> in_world;
};

// Whether the odds of a chance rose by this factor at least. Never those of what is impossible now.
inline bool OddsRoseBy(double factor, double before, double now) {
  return now > 0 && now * (1 - before) >= factor * before * (1 - now);
}

Chances ComputeChances(const Network& network, const BeliefLimits& limits = {});

// For each report: the factor by which it moves the odds of each event: odds with all reports / odds without
// this one. odds_factor[report][event]; 1 where it does not matter; infinity and 0 are possible with certain
// reports. Events that are no ancestors of a reported event count as "does not matter"; so does everything
// when the reports cannot all be. But whatever moves the worlds moves what differs between them: where there
// are any, a fault that nothing causes always counts.
//
// Method. One tree holds all reports, and one pass of it for each, without that report, tells the odds of all
// events. A report that is a weight on a variable, a certain one too, is taken back by leaving out its
// weight. One of something certainly absent is no variable: P(absent | causes) is (1 - leak) * product of (1
// - q) over the present ones, and stands in the tree as the weight 1 - q on each cause. Where nothing else
// hangs on that event, it sums out to 1 once nothing is reported of it, so 1 / (1 - q) on each cause takes it
// back, and so for what only its absence made absent (q = 1). Where something does, another tree is built
// without the report. All numbers are non-negative, and none is subtracted.
struct Influence {
  std::vector<std::vector<double>> odds_factor;
  // False: some factors were too wide to be worked out, and are 1.
  bool exact = true;
};
// `events`: of which the factors are wanted, the fewer the cheaper; empty: of all. Of others they are 1.
Influence ComputeInfluence(const Network& network, const BeliefLimits& limits = {},
                           const std::vector<int>& events = {});

}  // namespace gearwhy
