// Unit check: what is wrong with a unit as a transmission, located in its file.
//
// Unknown names are the loader's to report. Errors here: an input or output that no join and no element
// names; a range that is neutral or locked with its elements applied, or drives although it is neutral by
// design; a calculated ratio that differs from the stated one by more than 0.5 in 100; an element that no
// range uses; an element between members that always turn as one. Warnings: tooth counts with which planets
// do not mesh (ring - sun odd in a simple set; ring - large sun in a Ravigneaux set: the planet's teeth are
// half of that, and only profile shift makes up for a half tooth).
#pragma once

#include "engine/drivetrain/failures.h"
#include "engine/text/diagnostic.h"

namespace gearwhy {

void CheckUnit(const Unit& unit, const UnitBehaviour& behaviour, Diagnostics& diagnostics);

}  // namespace gearwhy
