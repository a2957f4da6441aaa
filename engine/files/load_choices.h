// Load choices: the key `choices` of a unit file, what sets a clearance that is no pack's.
//
//   choices:
//     thrust_bearings: {sets: end_play, sizes: [1.6 mm, 1.8 mm, 2.0 mm], tolerance: 0.02 mm}
//     D.servo_pin: {sets: band_clearance, sizes: [52 mm, 53 mm], tolerance: 0.05 mm}
//     D.anchor: {sets: band_clearance, pitch: 1.5 mm}
//
// In: the fields of the file, the unit with its parts, the words. Out: the choices in the unit.
// Errors: a part that is not there, a fact that is no length or needs an element that the part has not, sizes that
// do not ascend, both sizes and a pitch or neither.
#pragma once

#include "engine/model/unit.h"
#include "engine/text/fields.h"

namespace gearwhy {

void LoadChoices(Fields& file, Unit& unit, const Words& words, Diagnostics& diagnostics);

}  // namespace gearwhy
