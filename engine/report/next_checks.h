// Next checks: what to look at next, by the information expected for each minute.
//
// For every check of the rulebook whose conditions hold and that was not made yet: how much its most telling answer is expected to tell about the
// faults, as the sum over faults of the mutual information (bits) between the fault and the answer, allowing for how far
// the answer is trusted; divided by the minutes it takes from the car as it stands, its access included. Only the checks that promise most are
// worked out: a finding promises the uncertainty (bits) of each of its causes, times how often that one brings it about.
// Source: Shannon 1948 (mutual information) - from memory.
#pragma once

#include <vector>

#include "engine/report/rank_report.h"

namespace gearwhy {

// At most `most` checks, most bits for a minute first, ties by id; checks that tell nothing are left out.
std::vector<NextCheck> FindNextChecks(const Diagnosis& diagnosis, const Speaker& speaker, const BeliefLimits& limits,
                                      int most);


}  // namespace gearwhy
