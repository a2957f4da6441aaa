// Arrangement: the gearsets of a unit as linear speed relations, and what they do with a given set of
// elements locked.
//
// In: gearsets with tooth counts, joins and elements of a Unit. Out: for a set of locked elements and a sense
// of power flow, whether the unit drives, at what ratio (input speed / output speed), and the torque in each
// locked element per unit of input torque.
//
// Method. Each gearset gives one Willis relation (two for a Ravigneaux set) that is linear and homogeneous in
// the speeds of its members; a locked element adds one more. The null space of all relations, projected on
// (input, output), tells the case: two dimensions are neutral, one with both ends turning is a ratio, one
// with an end at rest or none at all is locked. Torques are the reactions (multipliers) of the same relations
// that balance the input and output torque, because ideal gears lose no power. Where elements are redundant
// the balance leaves the split open and the least-norm one is given.
//
// One-way clutches are found by trying every subset of them locked and keeping the one in which each locked
// one carries torque in its holding sense and each free one overruns. So that exactly one motion answers
// that, every shaft has a trace of drag and the driven end a load: the speeds are then the minimum of a
// strictly convex quadratic under inequalities, which is unique, and the subset is one that meets its
// Karush-Kuhn-Tucker conditions. Ratio and torque are taken without drag.
// Cost: 2^(one-way clutches) dense solves of about ten by ten.
// Source: R. Willis, Principles of Mechanism (1841); torque balance by virtual work and one-way clutches, own
// derivation.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/model/unit.h"

namespace gearwhy {

enum class Drive {
  kRatio,    // the output follows the input
  kNeutral,  // the input turns freely, the output is not driven
  kLocked,   // the input or the output cannot turn: the elements bind
};

enum class PowerFlow { kDriving, kCoasting };  // the engine drives the wheels, or they drive it

struct DriveState {
  Drive drive = Drive::kNeutral;
  double ratio = 0;                      // kRatio: input speed / output speed, negative for reverse
  std::map<std::string, double> torque;  // kRatio: by locked element, |torque| per unit of input torque
  // kRatio: of those to the case that carry torque, which keep their member from turning with the input, as
  // in an overdrive; the others keep it from turning against it.
  std::vector<std::string> holds_forward;
  std::vector<std::string> one_way_holding;  // kRatio: one-way clutches that carry torque, sorted
  // kRatio: redundant elements share the torque; `torque` is the least-norm split.
  bool torque_shared = false;
  // kRatio: by member, speed at input speed 1; members left undetermined are not listed.
  std::map<std::string, double> speed;
};

// Friction elements named in `applied` are locked, the others open. One-way clutches act by themselves, save
// those named in `applied` (seized) or in `broken` (they hold nothing any more). Names that are no elements
// are ignored. When coasting, the vehicle moves the way the same elements would drive it.
DriveState Solve(const Unit& unit, const std::vector<std::string>& applied, PowerFlow flow,
                 const std::vector<std::string>& broken = {});

// Whether both states drive at one ratio, within a relative 1e-6.
bool SameRatio(const DriveState& a, const DriveState& b);

}  // namespace gearwhy
