// Quantities: a number with a unit of measurement, kept in one base unit for each dimension.
//
// A slot that holds a quantity names its dimension. What a person writes ("110 psi", "1.6 mm", "180000 km")
// is converted to the base unit at once, so that the rest of the engine compares plain numbers. Factors: the
// international yard and pound (1959) and SI; the source stands beside each in quantity.cc.
//
// A slip of the hand ("1620 bar", "-180000 km") is a number like any other, and would be weighed like one. So
// every dimension has a range outside which no such thing is measured, and a slot may have a narrower one.
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <string_view>

namespace gearwhy {

enum class Dimension {
  kNumber,       // ratio, share, count: no unit; `12%` reads as 0.12
  kLength,       // mm
  kPressure,     // bar
  kTorque,       // N m
  kForce,        // N
  kTemperature,  // °C
  kDistance,     // km
  kSpeed,        // rpm
  kTime,         // s
  kResistance,   // ohm
  kVoltage,      // V
  kFlow,         // L/min
};

// "pressure" -> kPressure; nothing when the name is none.
std::optional<Dimension> DimensionNamed(std::string_view name);
std::string_view DimensionName(Dimension dimension);
// The unit numbers of this dimension are kept in, as shown: "bar".
std::string_view BaseUnit(Dimension dimension);

// "110 psi" as a pressure -> 7.584 (bar). On failure returns nothing and sets `why` to a whole clause: "`3
// mm` is a length, not a pressure", "`3` needs a unit, as in `3 bar`". Only kNumber may stand without a unit.
std::optional<double> ParseQuantity(std::string_view text, Dimension dimension, std::string* why);

// What dimension the unit of "110 psi" belongs to and its value in that base unit; "12" and "12%" are
// kNumber.
struct AnyQuantity {
  Dimension dimension;
  double number;
};
std::optional<AnyQuantity> ParseAnyQuantity(std::string_view text, std::string* why);

// What a quantity can be, both ends included, in the base unit of its dimension.
struct QuantityRange {
  double least = -std::numeric_limits<double>::infinity();
  double most = std::numeric_limits<double>::infinity();
  bool whole = false;  // only whole numbers, as of things counted (kNumber)

  friend bool operator==(const QuantityRange&, const QuantityRange&) = default;
};
// The range of the dimension itself, wide enough for whatever is measured on a vehicle. A plain number can be
// anything.
QuantityRange RangeOf(Dimension dimension);

// Nothing when the number is in the range; else a whole clause about it as it was written: "`1620 bar` cannot
// be: a pressure here is from 0 bar to 40 bar; was it `1620 kPa`?"
std::optional<std::string> WhyOutside(double number, std::string_view written, Dimension dimension,
                                      const QuantityRange& range);

// "7.58 bar", at most four significant digits.
std::string ShowQuantity(double number, Dimension dimension);

}  // namespace gearwhy
