// Unit table: what `unit show` prints, as data: ratios, steps, apply chart, torque shares, failures.
#pragma once

#include <string>
#include <vector>

#include "engine/drivetrain/failures.h"
#include "engine/model/unit.h"

namespace gearwhy {

enum class ElementUse {
  kOpen,
  kApplied,  // a friction element that drives the range
  kHolds,    // a one-way clutch that holds while driving
  kCoast,    // applied only for engine braking: the range drives without it
};

struct ElementInRange {
  std::string element;
  ElementUse use = ElementUse::kOpen;
  double torque = 0;  // per unit of input torque
};

struct RangeRow {
  std::string range, says;
  bool neutral = false;  // by design: no ratio, no step
  double ratio = 0;
  double step = 0;  // to the next higher range: this ratio / the next one's; 0 where there is none
  bool engine_braking = true;
  bool torque_shared = false;
  std::vector<ElementInRange> elements;  // in the unit's order
};

struct FailureRow {
  std::string element, range;
  std::string what;  // "no drive", "drives like first", "drives at 1.53", "locks", "no change"
};

struct UnitTable {
  std::string unit, says;
  std::vector<std::string> gearsets;  // "front: Ravigneaux set, small sun 34, large sun 38, ring 98"
  struct ElementRow {
    std::string element, says, type, between;
  };
  std::vector<ElementRow> elements;
  std::vector<RangeRow> ranges;
  std::vector<FailureRow> fails_to_hold, fails_to_release;
  std::vector<std::string> variants;
};

UnitTable MakeUnitTable(const Unit& unit, const UnitBehaviour& behaviour);

}  // namespace gearwhy
