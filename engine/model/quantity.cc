#include "engine/model/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "engine/text/ascii.h"
#include "engine/text/number.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

constexpr double kAny = std::numeric_limits<double>::infinity();

struct DimensionInfo {
  Dimension dimension;
  std::string_view name;
  std::string_view base_unit;
  QuantityRange range;
  std::string_view because;  // why its range is wide enough, as the rest of a sentence; may be empty
};

// The ranges are common practice, with much room to spare: what lies outside is a slip, not a rare unit.
constexpr std::array<DimensionInfo, 12> kDimensions = {{
    {Dimension::kNumber, "number", "", {-kAny, kAny}, ""},
    {Dimension::kLength, "length", "mm", {0, 5000}, "which is longer than any unit"},
    {Dimension::kPressure, "pressure", "bar", {0, 300}, "ten times the most that any unit runs at"},
    {Dimension::kTorque, "torque", "N m", {0, 100000}, "more than any unit carries"},
    {Dimension::kForce, "force", "N", {0, 1e6}, "more than any piston gives"},
    {Dimension::kTemperature, "temperature", "°C", {-60, 1000}, "from the coldest morning to glowing steel"},
    {Dimension::kDistance, "distance", "km", {0, 5e6}, "more than any vehicle runs"},
    {Dimension::kSpeed, "speed", "rpm", {0, 30000}, "more than any shaft turns"},
    {Dimension::kTime, "time", "s", {0, 1e6}, "some twelve days"},
    {Dimension::kResistance, "resistance", "ohm", {0, 1e9}, "more than a meter reads"},
    {Dimension::kVoltage, "voltage", "V", {-1000, 1000}, "more than any vehicle carries"},
    {Dimension::kFlow, "flow", "L/min", {0, 1000}, "more than any pump of a unit moves"},
}};

const DimensionInfo& Info(Dimension dimension) {
  for (const DimensionInfo& info : kDimensions) {
    if (info.dimension == dimension) return info;
  }
  return kDimensions[0];
}

// base value = factor * written value + offset
struct UnitOfMeasure {
  std::string_view name;
  Dimension dimension;
  double factor;
  double offset = 0;
  bool is_likely = true;  // where another was meant
};

// The inch is 25.4 mm, the mile 1.609344 km and the pound 0.45359237 kg exactly (international yard and pound
// agreement, 1959); standard gravity is 9.80665 m/s2 exactly (CGPM 1901); the bar is 100 kPa (SI brochure).
// Hence 1 lbf = 4.4482216152605 N, 1 psi = 1 lbf / (25.4 mm)^2 = 0.068947572931683 bar, 1 lb ft =
// 1.3558179483314 N m.
// The conventional inch of mercury is 25.4 mm of 13.5951 g/cm3 under standard gravity (133.322387415 Pa a
// millimetre, ISO 80000-4); the United States liquid quart is 57.75 cubic inches exactly (NIST Handbook 44,
// from memory).
constexpr double kPoundForce = 0.45359237 * 9.80665;
constexpr double kQuart = 57.75 * 25.4 * 25.4 * 25.4 * 1e-6;
constexpr UnitOfMeasure kUnits[] = {
    {"%", Dimension::kNumber, 0.01},
    {"mm", Dimension::kLength, 1},
    {"cm", Dimension::kLength, 10},
    {"in", Dimension::kLength, 25.4},
    {"thou", Dimension::kLength, 0.0254},
    {"bar", Dimension::kPressure, 1},
    {"kPa", Dimension::kPressure, 0.01},
    {"MPa", Dimension::kPressure, 10},
    {"mbar", Dimension::kPressure, 0.001, 0, false},
    {"psi", Dimension::kPressure, kPoundForce / (25.4 * 25.4) * 10},
    {"inHg", Dimension::kPressure, 25.4 * 133.322387415 * 1e-5, 0, false},
    {"N m", Dimension::kTorque, 1},
    {"Nm", Dimension::kTorque, 1},
    {"lb ft", Dimension::kTorque, kPoundForce * 0.3048},
    {"lb in", Dimension::kTorque, kPoundForce * 0.0254},
    {"N", Dimension::kForce, 1},
    {"kN", Dimension::kForce, 1000},
    {"lbf", Dimension::kForce, kPoundForce},
    {"°C", Dimension::kTemperature, 1},
    {"degC", Dimension::kTemperature, 1},
    {"°F", Dimension::kTemperature, 5.0 / 9.0, -32 * 5.0 / 9.0},
    {"degF", Dimension::kTemperature, 5.0 / 9.0, -32 * 5.0 / 9.0},
    {"km", Dimension::kDistance, 1},
    {"mi", Dimension::kDistance, 1.609344},
    {"miles", Dimension::kDistance, 1.609344},
    {"rpm", Dimension::kSpeed, 1},
    {"s", Dimension::kTime, 1},
    {"ms", Dimension::kTime, 0.001},
    {"min", Dimension::kTime, 60},
    {"ohm", Dimension::kResistance, 1},
    {"kohm", Dimension::kResistance, 1000},
    {"V", Dimension::kVoltage, 1},
    {"mV", Dimension::kVoltage, 0.001},
    {"L/min", Dimension::kFlow, 1},
    {"L/s", Dimension::kFlow, 60},
    {"qt/min", Dimension::kFlow, kQuart},
    {"gal/min", Dimension::kFlow, 4 * kQuart},
};

std::string UnitsOf(Dimension dimension) {
  std::string units;
  for (const UnitOfMeasure& unit : kUnits) {
    if (unit.dimension != dimension) continue;
    if (!units.empty()) units += ", ";
    units += fmt::format("`{}`", unit.name);
  }
  return units;
}

std::optional<double> InBaseUnit(double number, const UnitOfMeasure& unit) {
  // 95 / 100 is the double nearest to 0.95, 95 * 0.01 is not.
  const double scaled = unit.factor < 1 ? number / (1 / unit.factor) : number * unit.factor;
  const double base = scaled + unit.offset;
  return std::isfinite(base) ? std::optional(base) : std::nullopt;
}

// "1620 bar" -> "1620" and "bar": the number ends where its digits do; what follows, less spaces, is the
// unit.
struct NumberAndUnit {
  std::string_view digits, unit;
};
NumberAndUnit SplitQuantity(std::string_view text) {
  std::size_t end = text.find_first_not_of("0123456789+-.,eE_");
  if (end == std::string_view::npos) end = text.size();
  NumberAndUnit split{text.substr(0, end), text.substr(end)};
  while (!split.digits.empty() && (split.digits.back() == 'e' || split.digits.back() == 'E'))
    split.digits.remove_suffix(1);
  while (!split.unit.empty() && split.unit.front() == ' ') split.unit.remove_prefix(1);
  while (!split.unit.empty() && split.unit.back() == ' ') split.unit.remove_suffix(1);
  return split;
}

bool IsIn(double number, const QuantityRange& range) {
  return number >= range.least && number <= range.most && (!range.whole || number == std::floor(number));
}

// The slip that most likely lies behind a number outside the range: a minus, or another unit; empty when it
// is neither.
std::string SlipBehind(double number, std::string_view written, Dimension dimension,
                       const QuantityRange& range) {
  const NumberAndUnit split = SplitQuantity(written);
  if (number < 0 && IsIn(-number, range) && split.digits.starts_with('-')) return "; is the minus a slip?";
  std::string why, others;
  const std::optional<double> bare = ParseNumber(split.digits, &why);
  std::vector<double> factors;  // "mi" and "miles" are one unit
  for (const UnitOfMeasure& unit : kUnits) {
    if (!bare || !unit.is_likely || unit.dimension != dimension || dimension == Dimension::kNumber) continue;
    const std::optional<double> base = InBaseUnit(*bare, unit);
    if (!base || !IsIn(*base, range)) continue;
    if (std::find(factors.begin(), factors.end(), unit.factor) != factors.end()) continue;
    factors.push_back(unit.factor);
    others += fmt::format("{}`{} {}`", others.empty() ? "" : " or ", split.digits, unit.name);
  }
  return others.empty() ? "" : fmt::format("; was it {}?", others);
}

}  // namespace

std::optional<Dimension> DimensionNamed(std::string_view name) {
  for (const DimensionInfo& info : kDimensions) {
    if (info.name == name) return info.dimension;
  }
  return std::nullopt;
}

std::string_view DimensionName(Dimension dimension) { return Info(dimension).name; }
std::string_view BaseUnit(Dimension dimension) { return Info(dimension).base_unit; }

std::optional<AnyQuantity> ParseAnyQuantity(std::string_view text, std::string* why) {
  const auto [digits, unit_text] = SplitQuantity(text);
  // Where no digit stands in front, what is wrong is said of the whole: "nan bar", "-inf".
  const bool has_digit = std::any_of(digits.begin(), digits.end(), IsDigit);
  const std::optional<double> number = ParseNumber(has_digit ? digits : text, why);
  if (!number) return std::nullopt;
  if (unit_text.empty()) return AnyQuantity{Dimension::kNumber, *number};
  for (const UnitOfMeasure& unit : kUnits) {
    if (unit.name != unit_text) continue;
    if (const std::optional<double> base = InBaseUnit(*number, unit))
      return AnyQuantity{unit.dimension, *base};
    *why = fmt::format("`{}` is too large for a number", text);
    return std::nullopt;
  }
  *why = fmt::format("`{}` is no unit known here", unit_text);
  return std::nullopt;
}

std::optional<double> ParseQuantity(std::string_view text, Dimension dimension, std::string* why) {
  const std::optional<AnyQuantity> quantity = ParseAnyQuantity(text, why);
  const DimensionInfo& wanted = Info(dimension);
  if (!quantity) {
    if (dimension != Dimension::kNumber && why->ends_with("known here")) {
      *why += fmt::format("; a {} is given in {}", wanted.name, UnitsOf(dimension));
    }
    return std::nullopt;
  }
  if (quantity->dimension == dimension) return quantity->number;
  if (quantity->dimension == Dimension::kNumber) {
    *why = fmt::format("`{}` needs a unit, as in `{} {}`", text, text, wanted.base_unit);
  } else if (dimension == Dimension::kNumber) {
    *why = fmt::format("`{}` has a unit, but a plain number is wanted here", text);
  } else {
    *why = fmt::format("`{}` is a {}, not a {}", text, Info(quantity->dimension).name, wanted.name);
  }
  return std::nullopt;
}

QuantityRange RangeOf(Dimension dimension) { return Info(dimension).range; }

std::optional<std::string> WhyOutside(double number, std::string_view written, Dimension dimension,
                                      const QuantityRange& range) {
  if (IsIn(number, range)) return std::nullopt;
  const DimensionInfo& info = Info(dimension);
  const auto show = [&](double end) { return ShowQuantity(end, dimension); };
  std::string can_be;
  if (range.least == -kAny && range.most == kAny) {
    can_be = "";
  } else if (range.most == kAny) {
    can_be = fmt::format("at least {}", show(range.least));
  } else if (range.least == -kAny) {
    can_be = fmt::format("at most {}", show(range.most));
  } else {
    can_be = fmt::format("from {} to {}", show(range.least), show(range.most));
  }
  const std::string whole = range.whole ? fmt::format("a whole number{}", can_be.empty() ? "" : " ") : "";
  const bool own = !info.because.empty() && range == info.range && number > range.most;
  return fmt::format(
      "{} cannot be: a {} here is {}{}{}{}", InTicks(written), range.whole ? "count" : info.name, whole,
      can_be, own ? fmt::format(", {}", info.because) : "", SlipBehind(number, written, dimension, range));
}

std::string ShowQuantity(double number, Dimension dimension) {
  const std::string_view unit = BaseUnit(dimension);
  if (std::abs(number) < 1e-12) number = 0;
  // Four significant digits, but whole numbers in full: "180000 km".
  const std::string digits = std::abs(number) >= 1000 && std::abs(number) < 1e12
                                 ? fmt::format("{:.0f}", number)
                                 : fmt::format("{:.4g}", number);
  return unit.empty() ? digits : fmt::format("{} {}", digits, unit);
}

}  // namespace gearwhy
