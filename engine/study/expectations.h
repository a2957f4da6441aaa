// Expectations: whether a case's `expect:` holds.
#pragma once

#include <string>
#include <vector>

#include "engine/ground/diagnose.h"

namespace gearwhy {

// One line for each expectation that is not met, with where it stands, what was wanted and what came out.
std::vector<std::string> UnmetExpectations(const Diagnosis& diagnosis, const Sources& sources,
                                           const BeliefLimits& limits);

}  // namespace gearwhy
