#include "engine/drivetrain/failures.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <tuple>

namespace gearwhy {
namespace {

using Names = std::vector<std::string>;

bool Contains(const Names& names, const std::string& name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

Names Without(Names names, const std::string& name) {
  std::erase(names, name);
  return names;
}

// What is wrong: elements that do not hold and elements that do not release.
DriveState SolveWith(const Unit& unit, const Range& range, const Names& not_holding,
                     const Names& not_releasing) {
  Names applied = range.applied;
  for (const std::string& name : not_holding) applied = Without(applied, name);
  applied.insert(applied.end(), not_releasing.begin(), not_releasing.end());
  return Solve(unit, applied, PowerFlow::kDriving, not_holding);
}

bool CarriesTorque(const DriveState& state, const std::string& element) {
  const auto at = state.torque.find(element);
  return at != state.torque.end() && at->second > 0;
}

RangeBehaviour BehaviourOf(const Unit& unit, const Range& range) {
  RangeBehaviour behaviour;
  behaviour.range = range.name;
  behaviour.driving = Solve(unit, range.applied, PowerFlow::kDriving);
  behaviour.coasting = Solve(unit, range.applied, PowerFlow::kCoasting);
  if (behaviour.driving.drive != Drive::kRatio || behaviour.coasting.drive != Drive::kRatio) return behaviour;
  for (const std::string& element : range.applied) {
    const Names rest = Without(range.applied, element);
    if (SameRatio(Solve(unit, rest, PowerFlow::kDriving), behaviour.driving) &&
        Solve(unit, rest, PowerFlow::kCoasting).drive == Drive::kNeutral)
      behaviour.coast_elements.push_back(element);
  }
  std::sort(behaviour.coast_elements.begin(), behaviour.coast_elements.end());
  return behaviour;
}

ShiftBehaviour BehaviourOf(const Unit& unit, const Shift& shift, const UnitBehaviour& behaviour) {
  const Range* from = unit.FindRange(shift.from);
  const Range* to = unit.FindRange(shift.to);
  ShiftBehaviour result{shift.from, shift.to, 0, {}, {}};
  for (const Element& element : unit.elements) {
    const bool before = Contains(from->applied, element.name), after = Contains(to->applied, element.name);
    if (after && !before) result.comes_on.push_back(element.name);
    if (before && !after) result.goes_off.push_back(element.name);
  }
  const DriveState& old_state = behaviour.FindRange(shift.from)->driving;
  const DriveState& new_state = behaviour.FindRange(shift.to)->driving;
  if (old_state.drive == Drive::kRatio && new_state.drive == Drive::kRatio)
    result.step = old_state.ratio / new_state.ratio;
  return result;
}

ElementFailure FailureOf(const std::string& element, const std::string& range, DriveState state,
                         const UnitBehaviour& behaviour) {
  ElementFailure failure{element, range, std::move(state), std::nullopt};
  if (SameRatio(failure.state, behaviour.FindRange(range)->driving)) {
    failure.acts_as = range;
  } else {
    for (const RangeBehaviour& other : behaviour.ranges)
      if (!failure.acts_as && SameRatio(failure.state, other.driving)) failure.acts_as = other.range;
  }
  return failure;
}

}  // namespace

const RangeBehaviour* UnitBehaviour::FindRange(std::string_view range) const {
  for (const RangeBehaviour& behaviour : ranges)
    if (behaviour.range == range) return &behaviour;
  return nullptr;
}

UnitBehaviour Analyse(const Unit& unit) {
  UnitBehaviour behaviour;
  for (const Range& range : unit.ranges) behaviour.ranges.push_back(BehaviourOf(unit, range));
  for (const Shift& shift : unit.shifts) behaviour.shifts.push_back(BehaviourOf(unit, shift, behaviour));
  for (const Range& range : unit.ranges) {
    const DriveState& driving = behaviour.FindRange(range.name)->driving;
    for (const Element& element : unit.elements) {
      const bool applied = Contains(range.applied, element.name);
      const bool carries = CarriesTorque(driving, element.name);
      if (carries)
        behaviour.fails_to_hold.push_back(
            FailureOf(element.name, range.name, SolveWith(unit, range, {element.name}, {}), behaviour));
      if (!applied && !carries)
        behaviour.fails_to_release.push_back(
            FailureOf(element.name, range.name, SolveWith(unit, range, {}, {element.name}), behaviour));
    }
  }
  return behaviour;
}

SpeedReading ReadSpeeds(const Unit& unit, const std::string& range_name, double input_rpm, double output_rpm,
                        double tolerance) {
  const Range* range = unit.FindRange(range_name);
  assert(range != nullptr && input_rpm != 0 && output_rpm != 0);
  const DriveState designed = Solve(unit, range->applied, PowerFlow::kDriving);
  SpeedReading reading;
  const double measured = std::abs(input_rpm / output_rpm);
  reading.ratio = designed.ratio < 0 ? -measured : measured;
  if (designed.drive == Drive::kRatio) reading.slip = 1 - designed.ratio / reading.ratio;

  // Every element may be other than designed: one that carries torque opens, one that is free locks.
  struct Change {
    std::string element;
    bool opens;
  };
  std::vector<Change> changes;
  for (const Element& element : unit.elements) {
    const bool holds = Contains(range->applied, element.name) || CarriesTorque(designed, element.name);
    changes.push_back({element.name, holds});
  }
  std::sort(changes.begin(), changes.end(),
            [](const Change& a, const Change& b) { return a.element < b.element; });

  auto matches = [&](const std::vector<const Change*>& made) {
    RatioCause cause;
    for (const Change* change : made)
      (change->opens ? cause.not_holding : cause.not_releasing).push_back(change->element);
    const DriveState state = SolveWith(unit, *range, cause.not_holding, cause.not_releasing);
    if (state.drive != Drive::kRatio || std::abs(std::abs(state.ratio) - measured) > tolerance * measured)
      return false;
    cause.ratio = state.ratio;
    reading.causes.push_back(std::move(cause));
    return true;
  };
  if (matches({})) return reading;
  std::vector<bool> alone;
  for (const Change& change : changes) alone.push_back(matches({&change}));
  for (std::size_t i = 0; i < changes.size(); ++i)
    for (std::size_t j = i + 1; j < changes.size(); ++j)
      if (!alone[i] && !alone[j]) matches({&changes[i], &changes[j]});
  return reading;
}

}  // namespace gearwhy
