// Load dimensions: the keys `dimensions`, `engine_torque`, `engine_torque_at` and `converter_ratio` of a unit
// file.
//
//   engine_torque: {light: 190 N m, heavy: 260 N m}
//   converter_ratio: 2.0
//   engine_torque_at: 2500 rpm
//   dimensions:
//     A: {lined: frictions, outer_radius: 70 mm, inner_radius: 56 mm, friction: 0.13,
//         piston_outer: 66 mm, piston_inner: 34 mm, spring: 900 N}
//     D: {radius: 65 mm, wrap: 0.9, lever: 1.6, energised_by: overdrive, friction: 0.12, ...}
//     F: {rating: 900 N m}
//
// In: the fields of the file, and the unit with its elements, parts and variants. Out: the dimensions in the unit.
// Errors: an element or part that is not there, a number that the kind of element needs and that is missing,
// a drum that is no member of the clutch, an inner radius that is not inside the outer, what cannot be.
#pragma once

#include "engine/model/unit.h"
#include "engine/text/fields.h"

namespace gearwhy {

void LoadDimensions(Fields& file, Unit& unit, Diagnostics& diagnostics);

}  // namespace gearwhy
