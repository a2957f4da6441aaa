// Failures: what each range does when one element does not hold or does not release, and which element states a measured
// ratio points to.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/drivetrain/arrangement.h"

namespace gearwhy {

// Everything known about a range by calculation.
struct RangeBehaviour {
  std::string range;
  DriveState driving;
  DriveState coasting;  // kNeutral: the range freewheels on the overrun, there is no engine braking
};

struct ElementFailure {
  std::string element;
  std::string range;
  DriveState state;                     // what the unit does instead, driving
  std::optional<std::string> acts_as;   // a range of the same ratio, when there is one
};

struct UnitBehaviour {
  std::vector<RangeBehaviour> ranges;      // in the unit's order
  std::vector<ElementFailure> fails_to_hold;     // for each element that carries torque in a range (one-way clutches too)
  std::vector<ElementFailure> fails_to_release;  // for each friction element not applied in a range; a one-way clutch: seized
};
UnitBehaviour Analyse(const Unit& unit);

// Which states of the elements give a measured ratio in a commanded range.
struct RatioCause {
  std::vector<std::string> not_holding;    // applied in the range by design, but open
  std::vector<std::string> not_releasing;  // not applied in the range by design, but locked
  double ratio = 0;
};
struct SpeedReading {
  double ratio = 0;   // measured input speed / output speed
  double slip = 0;    // (input - stated ratio * output) / input: the share of the input speed lost; negative: faster than it should
  std::vector<RatioCause> causes;  // fewest changes first, then by name; at most two changes
};
// Speeds in rpm, output not zero. `tolerance` is relative, for matching a ratio (a reading is never exact).
SpeedReading ReadSpeeds(const Unit& unit, const std::string& range, double input_rpm, double output_rpm,
                        double tolerance = 0.02);

}  // namespace gearwhy
