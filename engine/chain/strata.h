// Strata: in what order rules run so that whatever stands under `not` is complete before it is asked.
//
// Method. A statement's stratum is at least that of everything it is concluded from, and one more than
// that of everything it is concluded from through `not`; the least such numbers are found by raising them
// until none changes. A rule runs in the lowest stratum of its conclusions: its premises lie no higher
// than any of them, and what it adds to a higher one early is asked by no `not` before that one is
// complete.
// Cost: rules times conditions times strata of the longest chain of statements.
// Source: Apt, Blair & Walker 1988 (stratified negation) - from memory.
// Private to engine/chain; CheckStrata is in chain.h.
#pragma once

#include <vector>

#include "engine/model/statement.h"

namespace gearwhy {

// The stratum of each rule, from 0. CheckStrata must have passed.
std::vector<int> StrataOf(const std::vector<Rule>& rules);

}  // namespace gearwhy
