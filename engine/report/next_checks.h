// Next checks: what to look at next, and what each answer would do.
//
// In: a diagnosis. Out: the checks that tell most for the minutes they cost (weigh_checks.h), as spoken, with the moves of the suspects
// after each answer and the minutes that are then expected until the cause has been seen.
// Cost: that of weigh_checks.h.
#pragma once

#include <vector>

#include "engine/report/rank_report.h"

namespace gearwhy {

// At most `most` checks, best first, ties by key; checks that tell nothing are left out.
std::vector<NextCheck> FindNextChecks(const Diagnosis& diagnosis, const Speaker& speaker, const BeliefLimits& limits,
                                      int most);

}  // namespace gearwhy
