// Units for the tests of the drivetrain, built in memory.
#pragma once

#include <string>
#include <vector>

#include "engine/model/unit.h"

namespace gearwhy {

inline Gearset SimpleSet(const std::string& name, int sun, int ring) {
  return {name, Gearset::Type::kSimple, sun, 0, ring, {}};
}
inline Gearset DualPinionSet(const std::string& name, int sun, int ring) {
  return {name, Gearset::Type::kDualPinion, sun, 0, ring, {}};
}
inline Gearset RavigneauxSet(const std::string& name, int small_sun, int large_sun, int ring) {
  return {name, Gearset::Type::kRavigneaux, small_sun, large_sun, ring, {}};
}
inline void AddElement(Unit& unit, const std::string& name, ElementType type, const std::string& first,
                       const std::string& second) {
  unit.elements.push_back({name, name, type, first, second, {}});
}
inline void AddRange(Unit& unit, const std::string& name, std::vector<std::string> applied) {
  Range range;
  range.name = range.says = name;
  range.applied = std::move(applied);
  unit.ranges.push_back(std::move(range));
}

// One set with one end joined to the input, one to the output, and the third member held by brake X.
inline Unit OneSet(const Gearset& set, const std::string& in, const std::string& out,
                   const std::string& held) {
  Unit unit;
  unit.gearsets = {set};
  unit.joins = {{"input", set.name + "." + in}, {"output", set.name + "." + out}};
  AddElement(unit, "X", ElementType::kBrake, set.name + "." + held, "case");
  AddRange(unit, "D1", {"X"});
  return unit;
}

// The Simpson arrangement: two equal sets with a common sun; the front carrier and the rear ring are the
// output. One-way clutch F holds the rear carrier in first. C is the front clutch (on the front ring), S the
// direct clutch (on the suns).
inline Unit Simpson(int sun, int ring) {
  Unit unit;
  unit.gearsets = {SimpleSet("front", sun, ring), SimpleSet("rear", sun, ring)};
  unit.joins = {{"front.sun", "rear.sun"}, {"front.carrier", "rear.ring", "output"}};
  AddElement(unit, "C", ElementType::kClutch, "input", "front.ring");
  AddElement(unit, "S", ElementType::kClutch, "input", "front.sun");
  AddElement(unit, "B", ElementType::kBand, "front.sun", "case");
  AddElement(unit, "L", ElementType::kBrake, "rear.carrier", "case");
  AddElement(unit, "F", ElementType::kOneWayClutch, "rear.carrier", "case");
  AddRange(unit, "D1", {"C"});
  AddRange(unit, "D2", {"C", "B"});
  AddRange(unit, "D3", {"C", "S"});
  AddRange(unit, "M1", {"C", "L"});
  AddRange(unit, "R", {"S", "L"});
  unit.shifts = {{"D1", "D2", {}}, {"D2", "D3", {}}};
  return unit;
}

// The Lepelletier arrangement: a simple set ahead (ring driven, sun fast to the case) and a Ravigneaux set
// behind.
inline Unit Lepelletier() {
  Unit unit;
  unit.gearsets = {SimpleSet("front", 37, 71), RavigneauxSet("rear", 31, 38, 85)};
  unit.joins = {{"input", "front.ring"}, {"front.sun", "case"}, {"rear.ring", "output"}};
  AddElement(unit, "A", ElementType::kClutch, "front.carrier", "rear.small_sun");
  AddElement(unit, "B", ElementType::kClutch, "front.carrier", "rear.large_sun");
  AddElement(unit, "E", ElementType::kClutch, "input", "rear.carrier");
  AddElement(unit, "C", ElementType::kBrake, "rear.large_sun", "case");
  AddElement(unit, "D", ElementType::kBrake, "rear.carrier", "case");
  AddRange(unit, "D1", {"A", "D"});
  AddRange(unit, "D2", {"A", "C"});
  AddRange(unit, "D3", {"A", "B"});
  AddRange(unit, "D4", {"A", "E"});
  AddRange(unit, "D5", {"B", "E"});
  AddRange(unit, "D6", {"C", "E"});
  AddRange(unit, "R", {"B", "D"});
  return unit;
}

// The arrangement of rules/units/ravigneaux-simple-five-speed.yaml.
inline Unit FiveSpeed() {
  Unit unit;
  unit.gearsets = {RavigneauxSet("front", 34, 38, 98), SimpleSet("rear", 30, 90)};
  unit.joins = {{"front.ring", "rear.ring"}, {"rear.carrier", "output"}};
  AddElement(unit, "A", ElementType::kClutch, "input", "front.small_sun");
  AddElement(unit, "B", ElementType::kClutch, "input", "front.carrier");
  AddElement(unit, "C", ElementType::kClutch, "input", "front.large_sun");
  AddElement(unit, "D", ElementType::kBand, "front.large_sun", "case");
  AddElement(unit, "E", ElementType::kBrake, "front.carrier", "case");
  AddElement(unit, "F", ElementType::kOneWayClutch, "front.carrier", "case");
  AddElement(unit, "G", ElementType::kBrake, "rear.sun", "case");
  AddElement(unit, "H", ElementType::kClutch, "rear.sun", "rear.carrier");
  AddElement(unit, "J", ElementType::kOneWayClutch, "rear.sun", "case");
  AddRange(unit, "D1", {"A"});
  AddRange(unit, "D2", {"A", "D"});
  AddRange(unit, "D3", {"A", "D", "H"});
  AddRange(unit, "D4", {"A", "B", "H"});
  AddRange(unit, "D5", {"B", "D", "H"});
  AddRange(unit, "M1", {"A", "E", "G"});
  AddRange(unit, "M2", {"A", "D", "G"});
  AddRange(unit, "R", {"C", "E", "G"});
  AddRange(unit, "N", {});
  unit.ranges.back().neutral = true;
  unit.shifts = {{"D1", "D2", {}}, {"D2", "D1", {}}, {"D3", "D4", {}}};
  return unit;
}

}  // namespace gearwhy
