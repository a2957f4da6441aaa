// Next checks: what to look at next, and what each answer would do.
//
// In: a diagnosis. Out: the checks that bring the cause to light soonest for the minutes they cost (weigh_checks.h), as spoken, with the moves of
// the suspects after each answer. While nothing is to blame yet, as nothing was observed, they come in the order of bits for a
// minute.
// Cost: that of weigh_checks.h.
#pragma once

#include <vector>

#include "engine/report/rank_report.h"

namespace gearwhy {

// At most `most` checks, best first, ties by key; checks that tell nothing are left out.
std::vector<NextCheck> FindNextChecks(const Diagnosis& diagnosis, const Speaker& speaker, const BeliefLimits& limits,
                                      int most);

}  // namespace gearwhy
