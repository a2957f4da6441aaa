#include "engine/drivetrain/unit_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/drivetrain/relations.h"

namespace gearwhy {
namespace {

constexpr double kRatioTolerance = 0.005;
constexpr double kRestTolerance = 1e-9;

// "`A`, `D` and `H`".
std::string ListNames(const std::vector<std::string>& names) {
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (i > 0) text += i + 1 == names.size() ? " and " : ", ";
    text += "`" + names[i] + "`";
  }
  return text;
}

bool IsNamed(const Unit& unit, const char* end) {
  const auto in_join = [&](const std::vector<MemberName>& join) {
    return std::find(join.begin(), join.end(), end) != join.end();
  };
  return std::any_of(unit.joins.begin(), unit.joins.end(), in_join) ||
         std::any_of(unit.elements.begin(), unit.elements.end(),
                     [&](const Element& element) { return element.first == end || element.second == end; });
}

void CheckTeeth(const Gearset& set, Diagnostics& diagnostics) {
  if (set.type == Gearset::Type::kDualPinion) return;  // two planets of any size lie between sun and ring
  const bool two_suns = set.type == Gearset::Type::kRavigneaux;
  const int difference = set.ring_teeth - (two_suns ? set.large_sun_teeth : set.sun_teeth);
  if (difference % 2 == 0 || set.profile_shift) return;
  diagnostics.Warning(set.place, "teeth-do-not-mesh",
                      fmt::format("the planets of `{}` would need {} teeth (ring less {} is {}); only teeth "
                                  "with profile shift mesh so; if they have it, say `profile_shift: true`",
                                  set.name, difference / 2.0, two_suns ? "large sun" : "sun", difference));
}

// "with `A` and `B` applied", "with nothing applied".
std::string WithApplied(const Range& range) {
  return range.applied.empty() ? "with nothing applied"
                               : fmt::format("with {} applied", ListNames(range.applied));
}

void CheckRange(const Range& range, const DriveState& state, Diagnostics& diagnostics) {
  switch (state.drive) {
    case Drive::kNeutral:
      if (!range.neutral)
        diagnostics.Error(
            range.place, "range-neutral",
            fmt::format("`{}` does not drive: {} the output is free; write `neutral: true` if it is meant so",
                        range.name, WithApplied(range)));
      return;
    case Drive::kLocked:
      diagnostics.Error(
          range.place, "range-locked",
          fmt::format("`{}` binds: {} the input or the output cannot turn", range.name, WithApplied(range)));
      return;
    case Drive::kRatio:
      break;
  }
  if (range.neutral) {
    diagnostics.Error(range.place, "range-drives",
                      fmt::format("`{}` is neutral by design, but {} it drives at {:.3f}", range.name,
                                  WithApplied(range), state.ratio));
  } else if (range.stated_ratio &&
             std::abs(*range.stated_ratio - state.ratio) > kRatioTolerance * std::abs(state.ratio)) {
    diagnostics.Error(range.place, "ratio-differs",
                      fmt::format("`{}` is stated as {}, but its tooth counts give {:.3f}", range.name,
                                  *range.stated_ratio, state.ratio));
  }
}

bool IsUsed(const Unit& unit, const UnitBehaviour& behaviour, const std::string& element) {
  const auto holds = [&](const std::vector<std::string>& names) {
    return std::find(names.begin(), names.end(), element) != names.end();
  };
  return std::any_of(unit.ranges.begin(), unit.ranges.end(),
                     [&](const Range& range) { return holds(range.applied); }) ||
         std::any_of(behaviour.ranges.begin(), behaviour.ranges.end(), [&](const RangeBehaviour& range) {
           return holds(range.driving.one_way_holding) || holds(range.coasting.one_way_holding);
         });
}

}  // namespace

void CheckUnit(const Unit& unit, const UnitBehaviour& behaviour, Diagnostics& diagnostics) {
  for (const Gearset& set : unit.gearsets) CheckTeeth(set, diagnostics);

  bool connected = true;
  for (const char* end : {"input", "output"}) {
    if (IsNamed(unit, end)) continue;
    connected = false;
    diagnostics.Error(unit.place, "end-loose",
                      fmt::format("the {0} is not connected: no join and no element names `{0}`", end));
  }

  const Relations relations = RelationsOf(unit);
  const Eigen::MatrixXd motions = NullSpace(relations.gears);
  for (const Element& element : unit.elements) {
    const bool turns_as_one = (relations.ElementRow(element) * motions).norm() <= kRestTolerance;
    if (turns_as_one) {
      diagnostics.Error(element.place, "element-idle",
                        fmt::format("`{}` does nothing: `{}` and `{}` always turn as one", element.name,
                                    element.first, element.second));
    } else if (connected && !IsUsed(unit, behaviour, element.name)) {
      diagnostics.Error(
          element.place, "element-unused",
          element.type == ElementType::kOneWayClutch
              ? fmt::format("`{}` holds in no range; are its members the wrong way round?", element.name)
              : fmt::format("no range applies `{}`", element.name));
    }
  }
  // With a loose end every range is neutral; that is said already.
  for (const Range& range : unit.ranges)
    if (connected) CheckRange(range, behaviour.FindRange(range.name)->driving, diagnostics);
}

}  // namespace gearwhy
