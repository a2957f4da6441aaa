// Capacity report: what the elements of a diagnosed transmission carry (ground/capacities.h), with the
// pressures that were read, in each variant that it may be.
//
// Cost: the ranges times the elements, for each variant that it may be. Errors: none.
#pragma once

#include <vector>

#include "engine/ground/capacities.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

// In the order of the unit; of one element the likeliest variant first.
std::vector<ElementCapacity> CapacitiesOf(const Diagnosis& diagnosis);

}  // namespace gearwhy
