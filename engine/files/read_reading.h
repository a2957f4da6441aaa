// Read reading: a measured fact of a case, with how its number was come by.
//
//   - pack_clearance: {element: B, is: 1.3 mm}
//   - lining_thickness: {part: D.band, is: [1.58 mm, 1.61 mm, 1.60 mm], with: caliper}
//   - lining_thickness: {part: D.band, places: {1: 1.58 mm, 2: [1.49 mm, 1.50 mm]}, when: as_built}
//
// In: an item of the list `measured`. Out: the fact with its number, the mean where there are several, and, where
// anything beyond one number is said, the reading. `is` repeats one place, `places` are places or plates.
// Errors: as of any statement (read_statement.h), each at its own number; `is` and `places` at once, or neither;
// an instrument that is not described, or reads another quantity; a `when` that is none.
#pragma once

#include <optional>

#include "engine/files/read_statement.h"
#include "engine/model/case.h"
#include "engine/model/rulebook.h"

namespace gearwhy {

std::optional<CaseFact> ReadMeasuredFact(const YamlNode& item, const Rulebook& book,
                                         const StatementContext& context);

}  // namespace gearwhy
