#include "engine/ground/capacities.h"

#include <algorithm>
#include <cmath>

#include "engine/bench/capacity.h"
#include "engine/drivetrain/fact_collector.h"
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

class Reckoner {
 public:
  Reckoner(const Unit& unit, const std::string& variant, const UnitBehaviour& behaviour,
           const KnownPressure& pressure)
      : unit_(unit), variant_(variant), behaviour_(behaviour), pressure_(pressure) {}

  std::optional<ElementCapacity> Reckon(const Dimensions& of) const {
    const std::optional<double> engine = ByVariant(unit_.engine_torque, variant_);
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
    if (!of.lined.empty() && Plates(of) == 0) return false;
    if (!FindPressure(range.range, in)) return false;
    const bool forward = HoldsForward(range, of.element);
    in.spin_n = Spin(of, range);
    in.carries_nm = Carries(of, Plates(of), in, forward);
    if (!of.lined.empty()) in.carries_new_nm = TorqueByPressure(Pack(of, Plates(of)), Force(of, in));
    return true;
  }

  // Nothing while the vehicle stands: the turbine stands with it.
  double Spin(const Dimensions& of, const RangeBehaviour& range) const {
    if (of.drum.empty() || IsEngagedAtRest(unit_, behaviour_, range.range)) return 0;
    const auto speed = range.driving.speed.find(of.drum);
    if (speed == range.driving.speed.end()) return 0;
    return HeadForce(unit_.torque_at_rpm * std::abs(speed->second), of.piston_outer, of.piston_inner,
                     of.fluid_from);
  }

  // What was read at stall, else the least that it may be, in the range or, where it has no limit of its own,
  // in any; false where none is known.
  bool FindPressure(const std::string& range, CapacityInRange& in) const {
    const auto measurement = pressure_.book.measurements.find(kPressure);
    if (measurement == pressure_.book.measurements.end() ||
        pressure_.book.words.Find(kPressure)->SlotIndex("range") < 0)
      return false;
    if (const JudgedReading* reading = FindReading(pressure_.readings, PressureIn(range), false)) {
      in.pressure_bar = reading->Decides().measured.value;
      in.was_read = true;
      return true;
    }
    const auto least_in = [&](const std::string& name) {
      return LimitsOf(pressure_.book, measurement->second, PressureIn(name), pressure_.c, pressure_.store)
          .least;
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
    for (const Slot& slot : pressure_.book.words.Find(kPressure)->slots) {
      of.slots.push_back(slot.dimension         ? Value(0.0)
                         : slot.name == "range" ? Value(range)
                                                : Value(std::string(kAtStall)));
    }
    return of;
  }

  int Plates(const Dimensions& of) const {
    const Part* part = unit_.FindPart(of.lined);
    return part == nullptr ? 0 : part->CountIn(variant_).value_or(0);
  }

  static LinedPack Pack(const Dimensions& of, int plates) {
    return {2 * plates, of.outer_radius, of.inner_radius, of.friction};
  }

  // The spring presses back against both, pressure and what spins.
  static double Force(const Dimensions& of, const CapacityInRange& in) {
    return of.lever * PistonForce(*in.pressure_bar, of.piston_outer, of.piston_inner, of.spring - in.spin_n);
  }

  // `forward`: its member is kept from turning with the input.
  static double Carries(const Dimensions& of, int plates, const CapacityInRange& in, bool forward) {
    const double force = Force(of, in);
    if (!of.lined.empty()) return TorqueByWear(Pack(of, plates), force);
    return TorqueOfBand({of.radius, of.wrap, of.friction}, force, forward == of.energised_by_overdrive);
  }

  void WhatIf(const Dimensions& of, ElementCapacity& capacity) const {
    const CapacityInRange& least = capacity.ranges.front();
    if (!least.pressure_bar) return;
    const bool forward = HoldsForward(*behaviour_.FindRange(least.range), of.element);
    const int plates = Plates(of);
    const auto margin = [&](const Dimensions& changed, int plates_left, double bar_less) {
      CapacityInRange in = least;
      in.pressure_bar = std::max(0.0, *least.pressure_bar - bar_less);
      return Carries(changed, plates_left, in, forward) / least.needs_nm;
    };
    capacity.one_bar_less = margin(of, plates, 1);
    if (plates > 0) capacity.one_plate_fewer = margin(of, plates - 1, 0);
    Dimensions changed = of;
    if (!of.lined.empty()) {
      changed.outer_radius = (of.outer_radius + of.inner_radius) / 2;
      capacity.half_width = margin(changed, plates, 0);
    }
    if (of.spring <= 0) return;
    changed = of;
    changed.spring = of.spring / 2;
    capacity.weak_spring = margin(changed, plates, 0);
  }

  const Unit& unit_;
  const std::string& variant_;
  const UnitBehaviour& behaviour_;
  const KnownPressure& pressure_;
};

// Two digits more than dimensions from a table are worth.
double Rounded(double number) { return std::round(number * 1e4) / 1e4; }

// The facts of one transmission. What is calculated names what it was calculated from.
class FactsOf {
 public:
  using Amount = FactCollector::Amount;
  using Statements = std::vector<Statement>;

  FactsOf(const Unit& unit, const std::string& variant, const UnitBehaviour& behaviour, const Words& words,
          const FactStore& store, Diagnostics& diagnostics)
      : unit_(unit),
        variant_(variant),
        behaviour_(behaviour),
        words_(words),
        store_(store),
        facts_(words, diagnostics) {}

  std::vector<GivenFact> Give(const std::vector<ElementCapacity>& capacities) {
    if (capacities.empty()) return {};
    const Place& place = unit_.dimensions.front().place;
    const double engine = *ByVariant(unit_.engine_torque, variant_);
    Keep(facts_.Give("engine_torque", {{"is", Amount{engine, Dimension::kTorque}}}, place, false), engine_);
    if (unit_.converter_ratio != 1)
      Keep(facts_.Give("converter_ratio", {{"is", unit_.converter_ratio}}, place, false), converter_);
    for (const ElementCapacity& capacity : capacities) {
      const auto of = std::find_if(unit_.dimensions.begin(), unit_.dimensions.end(),
                                   [&](const Dimensions& one) { return one.element == capacity.element; });
      GiveOne(*of, capacity);
    }
    return facts_.Take();
  }

 private:
  static void Keep(std::optional<Statement> statement, Statements& to) {
    if (statement) to.push_back(std::move(*statement));
  }
  static Amount Length(double mm) { return {mm, Dimension::kLength}; }

  // What decides how much it carries.
  Statements Size(const Dimensions& of) {
    Statements size;
    const Amount spring = {of.spring, Dimension::kForce};
    if (of.rating > 0) {
      Keep(facts_.Give("one_way_rating",
                       {{"element", of.element}, {"is", Amount{of.rating, Dimension::kTorque}}}, of.place,
                       false),
           size);
    } else if (!of.lined.empty()) {
      Keep(facts_.Give("pack_size",
                       {{"element", of.element},
                        {"inner", Length(of.inner_radius)},
                        {"outer", Length(of.outer_radius)},
                        {"friction", of.friction},
                        {"piston_inner", Length(of.piston_inner)},
                        {"piston_outer", Length(of.piston_outer)},
                        {"spring", spring}},
                       of.place, false),
           size);
      Keep(FindFact("plates", {{"part", of.lined}}), size);
    } else {
      Keep(facts_.Give("band_size",
                       {{"element", of.element},
                        {"radius", Length(of.radius)},
                        {"wrap", of.wrap},
                        {"friction", of.friction},
                        {"lever", of.lever},
                        {"piston_inner", Length(of.piston_inner)},
                        {"piston_outer", Length(of.piston_outer)},
                        {"spring", spring}},
                       of.place, false),
           size);
    }
    return size;
  }

  void GiveOne(const Dimensions& of, const ElementCapacity& capacity) {
    const Statements size = Size(of);
    for (const CapacityInRange& in : capacity.ranges) {
      Statements went_in;
      if (in.pressure_bar) {
        Statements from = size;
        if (in.spin_n > 0)
          Keep(facts_.Give("spin_force",
                           {{"element", of.element},
                            {"range", in.range},
                            {"is", Amount{Rounded(in.spin_n), Dimension::kForce}}},
                           of.place, true),
               from);
        Keep(facts_.Give("torque_carried",
                         {{"element", of.element},
                          {"range", in.range},
                          {"at", Amount{*in.pressure_bar, Dimension::kPressure}},
                          {"is", Amount{Rounded(in.carries_nm), Dimension::kTorque}}},
                         of.place, true, from),
             went_in);
      } else {
        went_in = size;
      }
      Keep(facts_.Give("torque_needed",
                       {{"element", of.element},
                        {"range", in.range},
                        {"is", Amount{Rounded(in.needs_nm), Dimension::kTorque}}},
                       unit_.FindRange(in.range)->place, true, Falls(of.element, in.range)),
           went_in);
      const std::optional<Statement> margin =
          facts_.Give("margin", {{"element", of.element}, {"range", in.range}, {"is", Rounded(in.margin())}},
                      of.place, true, went_in);
      if (!margin || &in != &capacity.ranges.front() || !capacity.one_plate_fewer) continue;
      facts_.Give("margin_one_fewer",
                  {{"element", of.element}, {"range", in.range}, {"is", Rounded(*capacity.one_plate_fewer)}},
                  of.place, true, {*margin});
    }
  }

  // What makes the torque that falls on it.
  Statements Falls(const std::string& element, const std::string& range) const {
    Statements from = engine_;
    if (IsEngagedAtRest(unit_, behaviour_, range))
      from.insert(from.end(), converter_.begin(), converter_.end());
    Keep(FindFact("carries", {{"element", element}, {"range", range}}), from);
    return from;
  }

  // A fact of the unit with these names in its slots.
  std::optional<Statement> FindFact(const std::string& name,
                                    const std::vector<std::pair<std::string, std::string>>& slots) const {
    for (const FactId fact : store_.Named(Sense::kFact, name)) {
      const Statement stated = store_.Get(fact).statement;
      const Word& word = *words_.Find(name);
      const bool all = std::all_of(slots.begin(), slots.end(), [&](const auto& slot) {
        const int index = word.SlotIndex(slot.first);
        return index >= 0 && stated.slots[At(index)] == Value(slot.second);
      });
      if (all) return stated;
    }
    return std::nullopt;
  }

  const Unit& unit_;
  const std::string& variant_;
  const UnitBehaviour& behaviour_;
  const Words& words_;
  const FactStore& store_;
  FactCollector facts_;
  Statements engine_, converter_;
};

}  // namespace

std::vector<ElementCapacity> Capacities(const Unit& unit, const std::string& variant,
                                        const UnitBehaviour& behaviour, const KnownPressure& pressure) {
  std::vector<ElementCapacity> capacities;
  const Reckoner reckoner(unit, variant, behaviour, pressure);
  for (const Dimensions& of : unit.dimensions) {
    if (auto capacity = reckoner.Reckon(of)) capacities.push_back(std::move(*capacity));
  }
  return capacities;
}

std::vector<GivenFact> CapacityFacts(const Rulebook& book, const Unit& unit, const std::string& variant,
                                     const UnitBehaviour& behaviour, const FactStore& store,
                                     Diagnostics& diagnostics) {
  const Case nothing;
  return FactsOf(unit, variant, behaviour, book.words, store, diagnostics)
      .Give(Capacities(unit, variant, behaviour, {book, nothing, store, {}}));
}

}  // namespace gearwhy
