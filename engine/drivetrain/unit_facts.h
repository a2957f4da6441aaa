// Unit facts: what a unit file and its calculation state, in words that rules can use.
//
// In: a unit, a variant, the words. Out: facts. Only facts that the words declare are given; a declaration
// whose slots do not fit is an error.
//
//   element_type: {element, type}         clutch, brake, band or one_way_clutch
//   element, range, part, part_kind: {is}  each that the unit has, where the word is the plain walk over
//                                          its kind
//   range_order: {range, order}           number: 1 for the first range of the file
//   applied: {element, range}             by the apply chart; one-way clutches: where they hold in drive
//   ratio: {range, ratio}                 number
//   carries: {element, range, share}      torque per unit of input torque
//   needed: {element, range}              without it there is no drive in the range
//   falls_back: {element, range, acts_as} without it the range drives like another
//   falls_back_to_ratio: {element, range, ratio}  without it the range drives at a ratio that is no range's
//   binds: {element, range}               if it does not release in this range, the unit locks
//   acts_as: {element, range, acts_as}    if it does not release, the range drives like another
//   acts_at_ratio: {element, range, ratio}
//   freewheels: {range}                   no engine braking by design
//   coast_element: {element, range}       not needed to drive in the range but holds it on the overrun
//   shift: {from, to}
//   comes_on: {element, from, to}         applied by the shift
//   goes_off: {element, from, to}         released by the shift
//   part: {part, kind}                    a part that this variant has
//   part_of: {part, element}
//   plates: {part, number}                the count of a counted part in this variant
//   variant: {is}                         the variant's name, when the unit has any
//   version: {is}                         the version's name, when the unit has any
// and every fact that the file itself gives, for the unit and for the variant, unless it speaks of a part
// that the variant lacks. Ranges that are neutral have no `ratio`. Calculated numbers are rounded to nine
// decimals, so that equal ones compare equal.
#pragma once

#include <vector>

#include "engine/drivetrain/failures.h"
#include "engine/model/unit.h"
#include "engine/model/words.h"
#include "engine/text/diagnostic.h"

namespace gearwhy {

struct GivenFact {
  Statement statement;
  Place place;  // where the unit or case says so; the range's place for what was calculated of it
  bool calculated = false;
  std::vector<Statement> from =
      {};  // the facts that it was calculated from; none: from gears and apply chart
};

// The unit must have passed UnitCheck. `variant`: one of the unit's, empty where it has none.
std::vector<GivenFact> UnitFacts(const Unit& unit, const std::string& variant, const UnitBehaviour& behaviour,
                                 const Words& words, Diagnostics& diagnostics);

}  // namespace gearwhy
