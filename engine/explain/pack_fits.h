// Pack fits: for every pack that the unit's `stacks` describe, what its plates leave and which ring to take.
//
// In: a diagnosis. Out: by element, and by the variants it is so in, the ring nearest the middle of the limits of
// `pack_clearance` (bench/clearance.h). Thicknesses are those that were measured as built, `plate_thickness`,
// each place a plate; else the unit's. Where the clearance and the ring have been measured as built, these
// correct the ring.
// Cost: the plates of the unit, for each variant that it may be. Errors: none.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/clearance.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

struct PackFit {
  std::string element;
  std::string ring;                  // the selective part
  std::vector<std::string> only_in;  // the variants, where it may be others
  RingToTake take;
  double least = 0, most = 0;  // of the clearance, mm
  bool measured = false;       // something of this pack was measured as built
  bool corrected = false;      // by the clearance that was measured with a ring in it
  // Parts of which one more, or one less, would explain why no ring serves.
  std::vector<std::string> one_missing, one_too_many;
};

std::vector<PackFit> PackFitsOf(const Diagnosis& diagnosis);

}  // namespace gearwhy
