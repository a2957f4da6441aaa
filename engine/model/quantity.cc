#include "engine/model/quantity.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "engine/text/number.h"

namespace gearwhy {
namespace {

struct DimensionInfo {
  Dimension dimension;
  std::string_view name;
  std::string_view base_unit;
};

constexpr std::array<DimensionInfo, 11> kDimensions = {{
    {Dimension::kNumber, "number", ""},
    {Dimension::kLength, "length", "mm"},
    {Dimension::kPressure, "pressure", "bar"},
    {Dimension::kTorque, "torque", "N m"},
    {Dimension::kForce, "force", "N"},
    {Dimension::kTemperature, "temperature", "°C"},
    {Dimension::kDistance, "distance", "km"},
    {Dimension::kSpeed, "speed", "rpm"},
    {Dimension::kTime, "time", "s"},
    {Dimension::kResistance, "resistance", "ohm"},
    {Dimension::kVoltage, "voltage", "V"},
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
};

// The inch is 25.4 mm, the mile 1.609344 km and the pound 0.45359237 kg exactly (international yard and pound
// agreement, 1959); standard gravity is 9.80665 m/s2 exactly (CGPM 1901); the bar is 100 kPa (SI brochure).
// Hence 1 lbf = 4.4482216152605 N, 1 psi = 1 lbf / (25.4 mm)^2 = 0.068947572931683 bar, 1 lb ft =
// 1.3558179483314 N m.
constexpr double kPoundForce = 0.45359237 * 9.80665;
constexpr UnitOfMeasure kUnits[] = {
    {"%", Dimension::kNumber, 0.01},
    {"mm", Dimension::kLength, 1},
    {"cm", Dimension::kLength, 10},
    {"in", Dimension::kLength, 25.4},
    {"thou", Dimension::kLength, 0.0254},
    {"bar", Dimension::kPressure, 1},
    {"kPa", Dimension::kPressure, 0.01},
    {"MPa", Dimension::kPressure, 10},
    {"psi", Dimension::kPressure, kPoundForce / (25.4 * 25.4) * 10},
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
  // The number ends where its digits do; what follows, less spaces, is the unit.
  std::size_t end = text.find_first_not_of("0123456789+-.,eE_");
  if (end == std::string_view::npos) end = text.size();
  std::string_view digits = text.substr(0, end);
  std::string_view unit_text = text.substr(end);
  while (!digits.empty() && (digits.back() == 'e' || digits.back() == 'E')) digits.remove_suffix(1);
  while (!unit_text.empty() && unit_text.front() == ' ') unit_text.remove_prefix(1);
  while (!unit_text.empty() && unit_text.back() == ' ') unit_text.remove_suffix(1);
  const std::optional<double> number = ParseNumber(digits, why);
  if (!number) {
    if (digits.empty()) *why = fmt::format("`{}` is not a number", text);
    return std::nullopt;
  }
  if (unit_text.empty()) return AnyQuantity{Dimension::kNumber, *number};
  for (const UnitOfMeasure& unit : kUnits) {
    if (unit.name != unit_text) continue;
    // 95 / 100 is the double nearest to 0.95, 95 * 0.01 is not.
    const double scaled = unit.factor < 1 ? *number / (1 / unit.factor) : *number * unit.factor;
    const double base = scaled + unit.offset;
    if (!std::isfinite(base)) break;
    return AnyQuantity{unit.dimension, base};
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
