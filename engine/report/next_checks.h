// Next checks: what to look at next, and what each answer would do.
//
// In: a diagnosis. Out: the checks that lead to the cause soonest (weigh_checks.h), as spoken, with the moves
// of the suspects after each answer and the minutes that are then expected until the cause has been seen.
// Weighing is what costs; it is done once (WeighCase), and everybody who asks about the checks of the case is
// given its result.
// Cost: that of weigh_checks.h; describing them costs next to nothing.
#pragma once

#include <optional>
#include <vector>

#include "engine/belief/outcome.h"
#include "engine/report/rank_report.h"
#include "engine/report/weigh_checks.h"

namespace gearwhy {

// The checks of a case that tell something nobody has looked at, and the best of them weighed.
struct CaseChecks {
  std::vector<GroundCheck> ground;
  WeighedChecks weighed;           // indices are into `ground`
  std::optional<Outcome> outcome;  // as it is now (pull.h)
};
CaseChecks WeighCase(const Diagnosis& diagnosis);
// The same checks with this access open, by name; what was worked out of them is not worked out again.
CaseChecks WeighOpened(const Diagnosis& diagnosis, const CaseChecks& checks,
                       const std::vector<std::string>& open);

EventChances ChancesNow(const Diagnosis& diagnosis);

// At most `most` checks, best first, ties by key; checks that tell nothing are left out.
std::vector<NextCheck> FindNextChecks(const Diagnosis& diagnosis, const CaseChecks& checks,
                                      const Speaker& speaker, int most);

// The answers of a check that was too much work among the others.
void WorkOutMoves(const Diagnosis& diagnosis, const Speaker& speaker, NextCheck& check);

}  // namespace gearwhy
