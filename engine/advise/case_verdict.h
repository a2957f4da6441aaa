// Case verdict: what a case comes to, as short as it can be said: what, how sure, what to look at next, out
// or not.
//
// In: a diagnosis, its ranking, its weighed checks. Out: the parts of the verdict, the same that `rank`, `next`
// and `why` show at length, by the same functions, so that no page contradicts another.
// Cost: that of pull.h.
#pragma once

#include <optional>

#include "engine/advise/pull.h"

namespace gearwhy {

struct CaseVerdict {
  bool known = false;               // false: the chances are not known, and nothing below is said
  std::optional<WherePlace> where;  // the likeliest place, when it is likelier than the lead
  std::optional<Suspect> lead;      // the first suspect; none where the rulebook knows none
  // What the interview would ask now (next_step.h); none where nothing is worth looking at any more.
  std::optional<NextCheck> next;
  PullDecision pull;
};

// `wanted`: of the decision to pull the unit.
CaseVerdict MakeCaseVerdict(const Diagnosis& diagnosis, const RankReport& report, const CaseChecks& checks,
                            PullWanted wanted);

}  // namespace gearwhy
