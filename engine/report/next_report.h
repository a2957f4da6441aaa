// Next report: what `gearwhy next` says of a case: the best next checks, and whether the unit must come out.
//
// In: a diagnosis. Out: checks with what they tell and how each answer would move the suspects; the chance
// that mending what is to blame needs the unit out, and what the checks still possible with the unit in could
// change about that.
// Method. The chance is the share of the blame (confirm.h) that lies on faults whose repair needs the unit
// out, or the chance of the likeliest such fault where that is larger: a lining that burnt because of
// something else needs it out all the same. For every check with the unit in the same is taken after each of
// its answers; what it could change is the answer that moves it most, of those that come at least once in
// twenty times.
// Cost: that of weigh_checks.h.
#pragma once

#include <string>
#include <vector>

#include "engine/report/next_checks.h"

namespace gearwhy {

// A check with the unit in that bears on whether it must come out.
struct PullChange {
  std::string check;  // as spoken
  double minutes = 0;
  std::string answer;  // "the pan holds bits of rubber"
  double chance = 0;   // of this answer
  double then = 0;     // the chance that it must come out, after it
};

enum class PullAdvice {
  kUnknown,    // nothing is to blame yet
  kLeaveIn,    // the repair most likely does not need it out
  kLookFirst,  // a check with the unit in could still change it
  kPull,       // no check with the unit in is likely to change it
  kIsOut,      // the case says that it is out
};

struct PullDecision {
  double chance = 0;  // that mending what is to blame needs the unit out
  PullAdvice advice = PullAdvice::kUnknown;
  std::vector<PullChange> changes;  // that move it most first, at most three
  // False: the case is too entangled to say of every check what it could change.
  bool worked_out = true;
};

// That mending what is to blame, or what came of it, needs the unit out; NaN when nothing is to blame.
double ChanceUnitOut(const Words& words, const GroundNetwork& ground, const EventChances& chances);
inline constexpr double kLeaveInUpTo = 0.2;  // of that chance: up to this the unit is best left in

struct NextReport {
  std::string case_id, title;
  std::vector<NextCheck> checks;  // best first
  double minutes_to_cause = 0;    // expected until the cause has been seen, by the best way
  PullDecision pull;
  bool can_run = true;  // false: checks that need the vehicle to run are left out, because of what is open
  bool exact = true;
  double error = 0;
};

NextReport MakeNextReport(const Diagnosis& diagnosis, int most);
// The decision alone. What has been weighed already is not weighed again.
PullDecision DecidePull(const Diagnosis& diagnosis, const CaseChecks& checks);

}  // namespace gearwhy
