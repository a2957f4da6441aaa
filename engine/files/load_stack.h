// Load stack: an entry of `stacks` of a unit file, how a pack lies in its drum and which rings there are for
// it.
//
//   B: {depth: {light: 14.9 mm, heavy: 18.7 mm}, tolerance: 0.10 mm,
//       plates: {frictions: {each: 2.00 mm, tolerance: 0.05 mm}, ...},
//       ring: selective_ring, sizes: [1.20 mm, 1.40 mm], ring_tolerance: 0.03 mm}
//
// In: the entry, and the unit with its elements, parts and variants. Out: the stack in the unit. Errors: an element or
// part that is not there, a depth that some variant lacks, sizes that do not ascend, a length that cannot be.
#pragma once

#include "engine/model/unit.h"
#include "engine/text/fields.h"

namespace gearwhy {

void LoadStack(const YamlEntry& entry, Fields& fields, Unit& unit, Diagnostics& diagnostics);

}  // namespace gearwhy
