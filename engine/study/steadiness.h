// Steadiness: how much of a case's answer hangs on single numbers of the rulebook.
//
// In: a diagnosis, and the fault or state that is its verdict. Out: in how many of N shakings of all numbers by a step
// of the scale (moved_frequencies.h) it still comes first among its kind; and the lines of the rulebook whose
// step moves its odds most, exactly.
//
// Method. Let q be a chance by which one thing acts: of a fault, or of a link from cause to effect. P(reports)
// is linear in q, so d log P / dq = P(it acts | reports) / q - P(it could and does not | reports) / (1 - q).
// Every link is made an event of its own, which its cause brings about with chance q and which brings the
// effect about for certain: the chances of these events (or_tree.h) are what the formula asks for. With the
// verdict taken for seen, and with it taken for refuted, the two sums differ by the slope of its log-odds; so
// two solutions give all slopes at once. Those of one line of the rulebook are added up, each times how far a
// step of the scale moves its chance. The rates of false alarms, which hang on the chances before, are held
// fixed. Where nobody knows which variant it is, the likeliest is taken.
// Cost: two solutions with as many more events as links bear on the reports, and one for each shaking, on all cores.
// Errors: none; `known` is false where the chances are not exact, or the verdict is certain.
// Source: Darwiche 2003, A differential approach to inference in Bayesian networks - from memory.
#pragma once

#include <string>
#include <vector>

#include "engine/ground/diagnose.h"

namespace gearwhy {

// One line of the rulebook.
struct RestsOn {
  std::string kind;  // "chance", "line" or "unexplained"
  std::string id;    // of the chance or the chart
  Statement cause;   // of a line: the link that counts for most
  Statement effect;  // the fault, or what is brought about
  Place place;
  double slope = 0;  // by how much the log-odds of the verdict rise with one step up
};

struct Steadiness {
  bool known = false;
  int verdict = -1;  // an event
  int shakings = 0, same = 0;
  double least = 1, most = 0;     // its chance in them
  std::vector<RestsOn> rests_on;  // the steepest first; all that move it at all
};

Steadiness SteadinessOf(const Diagnosis& diagnosis, int verdict, int shakings);

// For tests: the slopes of the log-odds of an event by each chance of its network: by event its own, and by
// event and cause. Empty where they cannot be told.
struct Slopes {
  std::vector<double> own;
  std::vector<std::vector<double>> link;
};
Slopes SlopesOf(const Network& network, int event, const BeliefLimits& limits = {});

}  // namespace gearwhy
