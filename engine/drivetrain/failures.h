// Failures: what each range does when one element does not hold or does not release, and which element states
// a measured ratio points to.
//
// In: a unit. Out: its behaviour as data, enough to print ratios, steps, the apply chart, torque shares and
// failures.
// Method: the arrangement is solved again with the element open or locked; nothing is listed by hand.
// Cost: ranges x elements solves, about a hundred for a common unit; a reading takes ranges x elements^2 / 2
// at most.
// Source: own derivation.
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
  // kNeutral while driving is kRatio: the range freewheels on the overrun, there is no engine braking.
  DriveState coasting;
  // Applied, not needed to drive, but without them the range freewheels; sorted.
  std::vector<std::string> coast_elements;
};

struct ElementFailure {
  std::string element;
  std::string range;
  DriveState state;  // what the unit does instead, driving
  // A range of the same ratio: this range itself if nothing changes, else the file's first.
  std::optional<std::string> acts_as;
};

struct ShiftBehaviour {
  std::string from, to;
  double step = 0;  // ratio before / ratio after; 0 when either is none
  // Friction elements the shift applies, in the order of the unit's elements.
  std::vector<std::string> comes_on;
  std::vector<std::string> goes_off;  // and those it releases
};

struct UnitBehaviour {
  std::vector<RangeBehaviour> ranges;  // in the unit's order
  std::vector<ShiftBehaviour> shifts;  // likewise
  // For each element that carries torque in a range (one-way clutches too).
  std::vector<ElementFailure> fails_to_hold;
  // For each friction element not applied in a range; a one-way clutch: seized.
  std::vector<ElementFailure> fails_to_release;

  const RangeBehaviour* FindRange(std::string_view range) const;
};
UnitBehaviour Analyse(const Unit& unit);

// Which states of the elements give a measured ratio in a commanded range.
struct RatioCause {
  std::vector<std::string> not_holding;    // carry torque in the range by design, but are open
  std::vector<std::string> not_releasing;  // open or free in the range by design, but locked
  double ratio = 0;
};
struct SpeedReading {
  // Measured input speed / output speed, with the sign of the range's ratio: sensors tell no sense.
  double ratio = 0;
  // (input - ratio * output) / input: the share of the input speed lost; negative: faster than it should. The
  // ratio is the calculated one. 0 for a range that is neutral by design.
  double slip = 0;
  // Fewest changes first, then by name; at most two changes. A cause that holds another, smaller one is left
  // out; one without changes means that the ratio is as it should be.
  std::vector<RatioCause> causes;
};
// Speeds in rpm as sensors give them; neither may be zero. `range` must be one of the unit's. `tolerance` is
// relative, for matching a ratio (a reading is never exact).
SpeedReading ReadSpeeds(const Unit& unit, const std::string& range, double input_rpm, double output_rpm,
                        double tolerance = 0.02);

}  // namespace gearwhy
