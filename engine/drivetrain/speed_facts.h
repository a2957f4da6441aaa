// Speed facts: what measured input and output speeds say, in words that rules can use.
//
// For every fact `measured_speeds: {range, input, output}` of a case, these facts, if the words declare them:
//
//   measured_slip: {range, is}                number: the share of the input speed lost; below zero: the
//                                             output is too fast
//   speeds_fit_not_holding: {range, element}  the measured ratio is the one the unit has with this element
//                                             alone open
//   speeds_fit_not_releasing: {range, element}  ... with this element alone locked in addition
//   speeds_fit_range: {range}                 the measured ratio is as it should be
#pragma once

#include <vector>

#include "engine/drivetrain/unit_facts.h"
#include "engine/model/case.h"

namespace gearwhy {

// Errors: a speed that is zero or below, at the fact of the case.
std::vector<GivenFact> SpeedFacts(const Unit& unit, const Case& c, const Words& words,
                                  Diagnostics& diagnostics);

}  // namespace gearwhy
