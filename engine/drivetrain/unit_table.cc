#include "engine/drivetrain/unit_table.h"

#include <fmt/format.h>

#include <algorithm>

namespace gearwhy {
namespace {

std::string DescribeGearset(const Gearset& set) {
  switch (set.type) {
    case Gearset::Type::kSimple:
      return fmt::format("{}: simple set, sun {}, ring {}", set.name, set.sun_teeth, set.ring_teeth);
    case Gearset::Type::kDualPinion:
      return fmt::format("{}: dual-pinion set, sun {}, ring {}", set.name, set.sun_teeth, set.ring_teeth);
    case Gearset::Type::kRavigneaux:
      return fmt::format("{}: Ravigneaux set, small sun {}, large sun {}, ring {}", set.name, set.sun_teeth,
                         set.large_sun_teeth, set.ring_teeth);
  }
  return "";
}

std::string SpokenRange(const Unit& unit, const std::string& name) {
  const Range* range = unit.FindRange(name);
  return range == nullptr ? name : range->says;
}

FailureRow DescribeFailure(const Unit& unit, const ElementFailure& failure) {
  FailureRow row{failure.element, failure.range, ""};
  switch (failure.state.drive) {
    case Drive::kNeutral:
      row.what = unit.FindRange(failure.range)->neutral ? "no change" : "no drive";
      break;
    case Drive::kLocked:
      row.what = "locks";
      break;
    case Drive::kRatio:
      if (failure.acts_as == failure.range) {
        row.what = "no change";
      } else if (failure.acts_as) {
        row.what = fmt::format("drives like {}", SpokenRange(unit, *failure.acts_as));
      } else {
        row.what = fmt::format("drives at {:.3f}", failure.state.ratio);
      }
      break;
  }
  return row;
}

ElementInRange DescribeUse(const Element& element, const Range& range, const RangeBehaviour& behaviour) {
  const auto has = [](const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
  };
  ElementInRange use{element.name, ElementUse::kOpen, 0};
  if (has(behaviour.coast_elements, element.name)) {
    use.use = ElementUse::kCoast;
  } else if (has(range.applied, element.name)) {
    use.use = ElementUse::kApplied;
  } else if (has(behaviour.driving.one_way_holding, element.name)) {
    use.use = ElementUse::kHolds;
  }
  if (const auto torque = behaviour.driving.torque.find(element.name);
      torque != behaviour.driving.torque.end()) {
    use.torque = torque->second;
  }
  return use;
}

}  // namespace

UnitTable MakeUnitTable(const Unit& unit, const UnitBehaviour& behaviour) {
  UnitTable table;
  table.unit = unit.name;
  table.says = unit.says;
  for (const Gearset& set : unit.gearsets) table.gearsets.push_back(DescribeGearset(set));
  for (const Element& element : unit.elements) {
    const std::string between = element.second == "case"
                                    ? fmt::format("holds {}", element.first)
                                    : fmt::format("{} to {}", element.first, element.second);
    table.elements.push_back(
        {element.name, element.says, std::string(ElementTypeName(element.type)), between});
  }
  for (std::size_t i = 0; i < unit.ranges.size(); ++i) {
    const Range& range = unit.ranges[i];
    const RangeBehaviour& known = behaviour.ranges[i];
    RangeRow row;
    row.range = range.name;
    row.says = range.says;
    row.neutral = range.neutral;
    row.ratio = known.driving.ratio;
    row.engine_braking = range.neutral || known.coasting.drive == Drive::kRatio;
    row.torque_shared = known.driving.torque_shared;
    for (const ShiftBehaviour& shift : behaviour.shifts) {
      if (shift.from == range.name && shift.step > 1) row.step = shift.step;
    }
    for (const Element& element : unit.elements) row.elements.push_back(DescribeUse(element, range, known));
    table.ranges.push_back(std::move(row));
  }
  for (const ElementFailure& failure : behaviour.fails_to_hold) {
    table.fails_to_hold.push_back(DescribeFailure(unit, failure));
  }
  for (const ElementFailure& failure : behaviour.fails_to_release) {
    table.fails_to_release.push_back(DescribeFailure(unit, failure));
  }
  for (const Variant& variant : unit.variants) table.variants.push_back(variant.says);
  return table;
}

}  // namespace gearwhy
