// Capacities: whether each element carries the torque that falls on it, range by range, and by how much.
//
// In: a unit that gives dimensions and the engine's torque, one variant of it, and what is known of its line
// pressure. Out: by element and range what it carries and needs, and the margin between them; for the range
// where that is least, what some faults leave of it. And the same as facts of the transmission, for rules and
// reasons.
// Method. Needed is the torque of the engine, times the converter's ratio in ranges that are engaged at rest,
// times the element's share (drivetrain/). Carried is reckoned by uniform wear, the lower (bench/capacity.h),
// with the pressure that was read in the range at stall, where one was, else the least that it may have
// there, and in a range without a limit of its own the least of all. Where a clutch names the drum that its
// piston turns with, the fluid that spins there presses as well in ranges in which the vehicle moves: at the
// speed of the engine's torque, times that of the drum. Ranges of engine braking are not looked at. As facts
// stand margins by the least pressure, and beneath each what went into it; they know of no reading.
// Cost: the ranges times the elements. Errors: of the facts, a word of other slots (FactCollector).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/drivetrain/unit_facts.h"
#include "engine/ground/readings.h"

namespace gearwhy {

struct CapacityInRange {
  std::string range;
  double needs_nm = 0;
  double carries_nm = 0;
  std::optional<double> carries_new_nm;  // a pack by uniform pressure, before it has run in
  std::optional<double> pressure_bar;    // not of a one-way clutch
  bool was_read = false;                 // the pressure; else it is the least that it may be
  double spin_n = 0;                     // what the spinning fluid adds to the piston's force

  double margin() const { return carries_nm / needs_nm; }
  friend bool operator==(const CapacityInRange&, const CapacityInRange&) = default;
};

struct ElementCapacity {
  std::string element;
  std::vector<std::string> only_in;  // the variants, where it may be others
  std::vector<CapacityInRange>
      ranges;  // the least margin first, equals in the order of the unit; never empty
  // Of the least margin: what is left of it with one lined plate fewer, with the outer half of the lining's
  // width gone, and at a bar less; and what it is with a spring that presses back with half of its force.
  std::optional<double> one_plate_fewer, half_width, one_bar_less, weak_spring;

  friend bool operator==(const ElementCapacity&, const ElementCapacity&) = default;
};

// What line pressure is read off: the limits that are facts of the store or of the case, and the readings.
struct KnownPressure {
  const Rulebook& book;
  const Case& c;
  const FactStore& store;
  const std::vector<JudgedReading>& readings;
};

// In the order of the unit; elements that carry nothing, or of which too little is known, are left out.
std::vector<ElementCapacity> Capacities(const Unit& unit, const std::string& variant,
                                        const UnitBehaviour& behaviour, const KnownPressure& pressure);

//   engine_torque: {is}, converter_ratio: {is}    as the unit states them
//   pack_size, band_size, one_way_rating          the dimensions of an element
//   torque_needed: {element, range, is}           that falls on it, from the first two and `carries`
//   torque_carried: {element, range, at, is}      at this pressure; not of a one-way clutch
//   margin: {element, range, is}                  carried / needed
//   margin_one_fewer: {element, range, is}        the same with one lined plate fewer, where it is least
// `store`: the facts of the unit. Only what the words declare is given.
std::vector<GivenFact> CapacityFacts(const Rulebook& book, const Unit& unit, const std::string& variant,
                                     const UnitBehaviour& behaviour, const FactStore& store,
                                     Diagnostics& diagnostics);

}  // namespace gearwhy
