// Capacity report: whether each element carries the torque that falls on it, range by range, and by how much.
//
// In: a diagnosis whose unit gives dimensions, the engine's torque and the limits of line pressure. Out: by element and
// range what it carries and needs, and the margin between them; for the range where that is least, what one
// lined plate fewer and a bar less leave of it.
// Method. Needed is the torque of the engine, times the converter's ratio in ranges that are engaged at rest,
// times the element's share (drivetrain/). Carried is reckoned by uniform wear, the lower (bench/capacity.h),
// with the pressure that was read in the range at stall, where one was, else the least that it may have
// there, and in a range without a limit of its own the least of all. What spins with a drum presses as well;
// that is left out, as it helps only once the vehicle moves. Ranges of engine braking are not looked at.
// Cost: the ranges times the elements, for each variant that it may be. Errors: none.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/ground/diagnose.h"

namespace gearwhy {

struct CapacityInRange {
  std::string range;
  double needs_nm = 0;
  double carries_nm = 0;
  std::optional<double> carries_new_nm;  // a pack by uniform pressure, before it has run in
  std::optional<double> pressure_bar;    // not of a one-way clutch
  bool was_read = false;                 // the pressure; else it is the least that it may be

  double margin() const { return carries_nm / needs_nm; }
};

struct ElementCapacity {
  std::string element;
  std::vector<std::string> only_in;  // the variants, where it may be others
  std::vector<CapacityInRange>
      ranges;  // the least margin first, equals in the order of the unit; never empty
  // Of the least margin: what is left of it with one lined plate fewer, and at a bar less.
  std::optional<double> one_plate_fewer, one_bar_less;
};

// In the order of the unit; elements that carry nothing, or of which too little is known, are left out.
std::vector<ElementCapacity> CapacitiesOf(const Diagnosis& diagnosis);

}  // namespace gearwhy
