// Unit check: what is wrong with a unit as a transmission, located in its file.
//
// Errors: unknown gearset types, members, elements and ranges (by the loader); a range that is neutral or locked with its elements applied; a calculated
// ratio that differs from the stated one by more than 0.5 in 100; an element that no range applies; an element between
// members that always turn as one. Warnings: tooth counts with which planets do not mesh (ring - sun odd in a simple set).
#pragma once

#include "engine/drivetrain/failures.h"
#include "engine/text/diagnostic.h"

namespace gearwhy {

void CheckUnit(const Unit& unit, const UnitBehaviour& behaviour, Diagnostics& diagnostics);

}  // namespace gearwhy
