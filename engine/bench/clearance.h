// Clearance: what a stack of plates leaves, and which ring at hand makes it right.
//
// In: the depth of a stack, the plates in it and the rings at hand, each with its tolerance, and the limits of the
// clearance; all in one unit. Out: what each ring would leave, and the one to take.
// Method. Clearance = depth - plates - ring, by measured thicknesses where there are any, by nominal ones else.
// Its doubt is the root of the sum of squares of the half tolerances, each plate its own: that all are off
// the same way at once, which the worst case takes for granted, condemns most packs that a ring serves. The
// best ring leaves the clearance nearest the middle of its limits; of two that are equally near the tighter.
// Where the pack has been built with a ring and its clearance was measured, that stands for all plates and
// the depth at once, and the ring is corrected by it.
// Source: subtraction of dimensions, own derivation; the root of the sum of squares as in JCGM 100:2008, 5.1.2,
// from memory. Cost: the number of plates and of rings. Errors: none.
#pragma once

#include <optional>
#include <vector>

namespace gearwhy {

struct Thickness {
  double is = 0;
  double tolerance = 0;  // half of what it may differ; of a measured one its standard uncertainty, twice
};

struct PackToFit {
  Thickness depth;
  std::vector<Thickness> plates;  // every plate by itself
  std::vector<double> rings;      // ascending; not empty
  double ring_tolerance = 0;
  double least = 0, most = 0;  // of the clearance
};

// What one ring leaves.
struct Fit {
  double ring = 0;
  double clearance = 0;
  double doubt = 0;     // root of the sum of squares
  double worst = 0;     // if all are off the same way
  bool serves = false;  // the clearance itself is within its limits, ends included
  bool sure = false;    // and is so with its doubt on either side
};

struct RingToTake {
  double ideal = 0;  // the thickness that would leave the middle
  Fit best;
  std::optional<Fit> as_near;  // the looser ring that leaves just as near
};

RingToTake ChooseRing(const PackToFit& pack);
// By the clearance measured with a ring in it. `doubt`: of that clearance.
RingToTake CorrectRing(const PackToFit& pack, double fitted_ring, Thickness measured_clearance);

// How far to turn a screw inward, which makes the clearance smaller; outward below 0.
struct ScrewTurns {
  double ideal = 0;            // to the middle of the limits
  double least = 0, most = 0;  // between these it is within its limits
  double doubt = 0;            // by that of the clearance
  bool serves = false;         // it is within its limits as it stands
};
// `per_turn`: by how much a turn makes it smaller, above 0.
ScrewTurns TurnScrew(Thickness clearance, double per_turn, double least, double most);

}  // namespace gearwhy
