#include "engine/explain/capacity_report.h"

#include <algorithm>
#include <cmath>

#include "engine/bench/capacity.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// The measurement that gives the pressure an element is pressed with, and where it is read.
constexpr const char* kPressure = "line_pressure";
constexpr const char* kAtStall = "stall";

// Ranges that nothing shifts up into: they are engaged while the vehicle stands.
bool IsEngagedAtRest(const Unit& unit, const UnitBehaviour& behaviour, const std::string& range) {
  const auto ratio = [&](const std::string& name) {
    return std::abs(behaviour.FindRange(name)->driving.ratio);
  };
  return std::none_of(unit.shifts.begin(), unit.shifts.end(), [&](const Shift& shift) {
    return shift.to == range && ratio(shift.from) > ratio(range);
  });
}

bool HoldsForward(const RangeBehaviour& range, const std::string& element) {
  const auto& forward = range.driving.holds_forward;
  return std::find(forward.begin(), forward.end(), element) != forward.end();
}

// One transmission.
class Reckoner {
 public:
  Reckoner(const Diagnosis& diagnosis, const CaseFacts& facts)
      : book_(*diagnosis.book),
        c_(*diagnosis.c),
        unit_(*diagnosis.unit),
        behaviour_(facts.transmission->known->behaviour),
        facts_(facts) {}

  std::optional<ElementCapacity> Reckon(const Dimensions& of) const {
    const std::optional<double> engine = ByVariant(unit_.engine_torque, facts_.transmission->variant);
    if (!engine) return std::nullopt;
    ElementCapacity capacity;
    capacity.element = of.element;
    for (const RangeBehaviour& range : behaviour_.ranges) {
      if (range.driving.drive != Drive::kRatio) continue;
      const auto share = range.driving.torque.find(of.element);
      if (share == range.driving.torque.end() || share->second <= 0) continue;
      CapacityInRange in;
      in.range = range.range;
      in.needs_nm = *engine * share->second *
                    (IsEngagedAtRest(unit_, behaviour_, range.range) ? unit_.converter_ratio : 1);
      if (Carry(of, range, in)) capacity.ranges.push_back(in);
    }
    if (capacity.ranges.empty()) return std::nullopt;
    std::stable_sort(capacity.ranges.begin(), capacity.ranges.end(),
                     // What differs in the last digits is equal.
                     [](const CapacityInRange& a, const CapacityInRange& b) {
                       return a.margin() < 0.999999 * b.margin();
                     });
    WhatIf(of, capacity);
    return capacity;
  }

 private:
  bool Carry(const Dimensions& of, const RangeBehaviour& range, CapacityInRange& in) const {
    if (of.rating > 0) {
      in.carries_nm = of.rating;
      return true;
    }
    if (!FindPressure(range.range, in)) return false;
    const bool forward = HoldsForward(range, of.element);
    in.carries_nm = Carries(of, Plates(of), *in.pressure_bar, forward);
    if (!of.lined.empty())
      in.carries_new_nm = TorqueByPressure(Pack(of, Plates(of)), Force(of, *in.pressure_bar));
    return true;
  }

  // What was read at stall, else the least that it may be, in the range or, where it has no limit of its own,
  // in any; false where none is known.
  bool FindPressure(const std::string& range, CapacityInRange& in) const {
    const auto measurement = book_.measurements.find(kPressure);
    if (measurement == book_.measurements.end() || book_.words.Find(kPressure)->SlotIndex("range") < 0)
      return false;
    if (const JudgedReading* reading = FindReading(facts_.readings, PressureIn(range), false)) {
      in.pressure_bar = reading->Decides().measured.value;
      in.was_read = true;
      return true;
    }
    const auto least_in = [&](const std::string& name) {
      return LimitsOf(book_, measurement->second, PressureIn(name), c_, facts_.store).least;
    };
    in.pressure_bar = least_in(range);
    if (in.pressure_bar) return true;
    for (const Range& other : unit_.ranges) {
      const std::optional<double> least = least_in(other.name);
      if (least && (!in.pressure_bar || *least < *in.pressure_bar)) in.pressure_bar = least;
    }
    return in.pressure_bar.has_value();
  }

  // The fact that would be read at stall in a range, its number 0.
  Statement PressureIn(const std::string& range) const {
    Statement of{kPressure, {}};
    for (const Slot& slot : book_.words.Find(kPressure)->slots) {
      of.slots.push_back(slot.dimension         ? Value(0.0)
                         : slot.name == "range" ? Value(range)
                                                : Value(std::string(kAtStall)));
    }
    return of;
  }

  int Plates(const Dimensions& of) const {
    const Part* part = unit_.FindPart(of.lined);
    return part == nullptr ? 0 : part->CountIn(facts_.transmission->variant).value_or(0);
  }

  static LinedPack Pack(const Dimensions& of, int plates) {
    return {2 * plates, of.outer_radius, of.inner_radius, of.friction};
  }

  static double Force(const Dimensions& of, double pressure_bar) {
    return of.lever * PistonForce(pressure_bar, of.piston_outer, of.piston_inner, of.spring);
  }

  // `forward`: its member is kept from turning with the input.
  static double Carries(const Dimensions& of, int plates, double pressure_bar, bool forward) {
    const double force = Force(of, pressure_bar);
    if (!of.lined.empty()) return TorqueByWear(Pack(of, plates), force);
    return TorqueOfBand({of.radius, of.wrap, of.friction}, force, forward == of.energised_by_overdrive);
  }

  void WhatIf(const Dimensions& of, ElementCapacity& capacity) const {
    const CapacityInRange& least = capacity.ranges.front();
    if (!least.pressure_bar) return;
    const bool forward = HoldsForward(*behaviour_.FindRange(least.range), of.element);
    const int plates = Plates(of);
    capacity.one_bar_less =
        Carries(of, plates, std::max(0.0, *least.pressure_bar - 1), forward) / least.needs_nm;
    if (plates > 1)
      capacity.one_plate_fewer = Carries(of, plates - 1, *least.pressure_bar, forward) / least.needs_nm;
  }

  const Rulebook& book_;
  const Case& c_;
  const Unit& unit_;
  const UnitBehaviour& behaviour_;
  const CaseFacts& facts_;
};

}  // namespace

std::vector<ElementCapacity> CapacitiesOf(const Diagnosis& diagnosis) {
  std::vector<ElementCapacity> capacities;
  if (diagnosis.unit == nullptr) return capacities;
  for (const Dimensions& of : diagnosis.unit->dimensions) {
    for (const int world : diagnosis.likeliest) {
      auto capacity = Reckoner(diagnosis, diagnosis.worlds[At(world)]).Reckon(of);
      if (!capacity) continue;
      capacity->only_in = diagnosis.VariantsOf({world});
      capacities.push_back(std::move(*capacity));
    }
  }
  return capacities;
}

}  // namespace gearwhy
