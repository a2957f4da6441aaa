// Decision conflicts: decisions that would say different things of one part, with nothing to choose between
// them.
//
// In: a rulebook, and one transmission of it with nothing observed. Out: an error for each pair of decisions that
// go by the same (DecisionBasis), say different verdicts, and may both hold for one part.
// Method. What a case may add is taken as so: conditions that the transmission has no fact of, and `not`. A part
// that fulfils the others of both decisions is a conflict, unless one decision says `not:` where the other
// says the same. So a pair may be refused that no case would ever bring together; one more `not:` settles it.
// Cost: a join for each decision; pairs of decisions that go by the same.
#pragma once

#include <set>
#include <utility>

#include "engine/ground/diagnose.h"

namespace gearwhy {

// Pairs of decisions that have been reported; another transmission reports them no more.
using ReportedPairs = std::set<std::pair<const Decision*, const Decision*>>;

void CheckDecisions(const Diagnosis& unobserved, ReportedPairs& reported, Diagnostics& diagnostics);

}  // namespace gearwhy
