// Next checks: what to look at next, and what each answer would do.
//
// In: a diagnosis. Out: the checks that lead to the cause soonest (weigh_checks.h), with the moves of the
// suspects after each answer and the minutes that are then expected until the cause has been seen. The
// rulebook must outlive them. Weighing is what costs; it is done once (WeighCase), and everybody who asks
// about the checks of the case is given its result.
// Cost: that of weigh_checks.h; describing them costs next to nothing.
#pragma once

#include <optional>
#include <vector>

#include "engine/advise/weigh_checks.h"
#include "engine/explain/rank_report.h"

namespace gearwhy {

// How an answer would move one suspect.
struct Move {
  std::string fault;  // the id
  Statement statement;
  double now = 0, then = 0;
};

// One thing that a check tells, with what either answer would do.
struct AskedFinding {
  Statement event;
  std::string id;           // "debris:rubber"
  double chance = 0;        // that this one is reported, and no other finding of the check
  bool complained = false;  // the complaint itself, which nobody but the customer has tried yet
  // The suspects moved most by that answer, at most three.
  std::vector<Move> if_alone;
};

struct NextCheck {
  std::string check;  // the id
  std::string key;    // the id with what its variables stand for: "ask-how-it-comes:R"
  Phrase says, how;
  double own_minutes = 0;  // once the access is there
  double minutes = 0;      // with the access still to be paid
  // Expected until the cause has been seen, with this check first (kOfPlannedWay); 0 while nothing is to
  // blame.
  double minutes_to_cause = 0;
  double checks_to_cause = 0;      // the same, itself among them
  std::string access_name, trust;  // names in the words
  double bits = 0;  // what its answer is expected to tell about the faults, each taken by itself
  // False: the case is entangled; `bits` and the chances of answers are about right, if they are there at
  // all, and no answer has moves. See WorkOutMoves.
  bool worked_out = true;
  bool needs_unit_out = false;
  std::vector<std::string> only_in;    // the variants it is a check of, where it may be others
  std::vector<AskedFinding> findings;  // most telling first
  double chance_none = 0;              // that none of them is reported
  std::vector<Move> if_none;
  double chance_several = 0;  // that several are; what that would change is not worked out
  // What is absent when none of them is so, in one report (ground_checks.h).
  std::optional<Statement> all_good;
  std::vector<std::string> cautions;  // names in the words: its own, then those of the way to it; each once
};

// By what checks are chosen: the network and its chances, or, where somebody would wait long, with every good
// look for certain (belief/firm_reports.h). What is told of an answer is always of the network as it is.
struct ChosenBy {
  std::optional<Network> firm;
  EventChances now;

  const Network& network(const Diagnosis& diagnosis) const { return firm ? *firm : diagnosis.ground.network; }
};

// The checks of a case that tell something nobody has looked at, and the best of them weighed.
struct CaseChecks {
  std::vector<GroundCheck> ground;
  ChosenBy by;
  WeighedChecks weighed;  // indices are into `ground`
};
CaseChecks WeighCase(const Diagnosis& diagnosis);
// The same checks with this access open, by name; what was worked out of them is not worked out again.
CaseChecks WeighOpened(const Diagnosis& diagnosis, const CaseChecks& checks,
                       const std::vector<std::string>& open);

EventChances ChancesNow(const Diagnosis& diagnosis);

// The weighed checks that tell anything, best first.
std::vector<const WeighedCheck*> ChecksThatTell(const CaseChecks& checks);
// Whether a check tells enough, and enough for the minutes it takes (policy.h).
bool WorthAsking(double bits, double minutes);
// Whether its answer could change what is said or done: it tells enough, and moves something enough.
bool CouldChange(const WeighedCheck& one);
// Whether that, or it is the look that shows what is likely, and so settles it.
bool IsWorthMaking(const Diagnosis& diagnosis, const CaseChecks& checks, const WeighedCheck& one);
// What there is to say of one of them.
NextCheck DescribeCheck(const Diagnosis& diagnosis, const CaseChecks& checks, const WeighedCheck& one);
// At most `most` of those worth making.
std::vector<NextCheck> FindNextChecks(const Diagnosis& diagnosis, const CaseChecks& checks, int most);

// The answers of a check that was too much work among the others, of the network as it is; not where it is
// more work than this (BeliefLimits::answer_work).
void WorkOutMoves(const Diagnosis& diagnosis, const CaseChecks& checks, NextCheck& check, double most_work);

}  // namespace gearwhy
