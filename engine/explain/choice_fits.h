// Choice fits: which washer or pin to take, or how far to turn a screw, so that what was measured comes to
// the middle of its limits.
//
// In: a diagnosis whose unit has `choices`, with the clearance measured, and of a washer or pin how thick the one is
// that was in. Out: by part, and by the variants it is so in, what to take. Readings as built go before those
// as found, and a clearance goes with the thickness of the same time. What was not measured is not listed.
// Method. A thicker one takes its thickness from the clearance, or adds to it, so that clearance and size that were
// measured together say what each other size leaves (bench/clearance.h).
// Cost: the sizes, for each variant that it may be. Errors: none.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/bench/clearance.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

struct ChoiceFit {
  std::string part;
  std::string element;               // empty: of none
  std::vector<std::string> only_in;  // the variants, where it may be others
  Statement sets;                    // what was measured, its number 0
  double least = 0, most = 0;        // of the clearance, mm
  Thickness measured;                // the clearance
  // A washer or pin: how thick the one is that was in; nothing where that was not measured. Then what to
  // take.
  bool by_size = false;
  std::optional<double> fitted;
  std::optional<RingToTake> take;
  std::optional<ScrewTurns> turns;  // a screw
};

// In the order of the unit.
std::vector<ChoiceFit> ChoiceFitsOf(const Diagnosis& diagnosis);

}  // namespace gearwhy
