// Lever diagram: the gearsets of a unit as levers, on which the speeds of all members of a range lie on a
// straight line.
//
// In: a unit, and what each range and each failure does (failures.h). Out: levers; of each its shafts with
// their places along it, and for each range and each failure that changes one the speeds at its two ends, for
// an input speed of 1. Speeds between the ends follow from the line.
// Method. Seen from the carrier, sun and ring turn as their tooth counts bid, so that a lever with the carrier
// at 0 has the sun at R and the ring at -S (simple set), the ring at S (dual pinion), or, of a Ravigneaux set
// with its ring at -1, the small sun at -R/S1 and the large one at R/S2. Two gearsets that share two shafts
// are one lever: the second is stretched and moved until those lie on each other, and every shaft of both is
// then on the line, because two points make it. What shares fewer stands beside it as a lever of its own.
// Places run from 0 to 1. A lever whose line nothing decides in a range has none there.
// Source: H. L. Benford and M. B. Leising, The lever analogy: a new tool in transmission analysis, SAE 810102
// (1981), from memory. Cost: next to nothing. Errors: none.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/drivetrain/failures.h"

namespace gearwhy {

// A shaft that a lever has at one place.
struct LeverNode {
  std::vector<MemberName> members;     // of gearsets, in the order of the unit: "front.ring"
  double place = 0;                    // 0 to 1
  bool input = false, output = false;  // joined to it for good
  bool held = false;                   // joined to the case for good
  std::vector<std::string> elements;   // that hold or drive it, in the order of the unit
};

// The speeds at both ends of one lever.
struct LeverLine {
  double at_start = 0, at_end = 0;

  double SpeedAt(double place) const { return at_start + (at_end - at_start) * place; }
};

struct Lever {
  std::vector<std::string> gearsets;
  std::vector<LeverNode> nodes;  // by place
};

// What a range, or a failure in one, makes of the levers.
struct RangeLines {
  std::string range;
  std::vector<std::optional<LeverLine>> lines;  // by lever
};
struct FailureLines {
  std::string element, range;
  bool holds_nothing = false;  // else it does not release
  std::vector<std::optional<LeverLine>> lines;
};

struct LeverDiagram {
  std::vector<Lever> levers;
  std::vector<RangeLines> ranges;      // those that drive, in the unit's order
  std::vector<FailureLines> failures;  // those that drive at another ratio
};

LeverDiagram MakeLeverDiagram(const Unit& unit, const UnitBehaviour& behaviour);

}  // namespace gearwhy
