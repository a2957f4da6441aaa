#include "engine/model/quantity.h"

#include <cmath>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

double Read(const char* text, Dimension dimension) {
  std::string why;
  const auto number = ParseQuantity(text, dimension, &why);
  INFO(text << ": " << why);
  REQUIRE(number.has_value());
  return *number;
}

std::string WhyNotRead(const char* text, Dimension dimension) {
  std::string why;
  REQUIRE_FALSE(ParseQuantity(text, dimension, &why).has_value());
  return why;
}

bool Near(double a, double b, double relative) { return std::abs(a - b) <= relative * std::abs(b); }

// The factors are those of NIST Special Publication 811, appendix B - from memory; the inch and the mile are
// exact.
TEST_CASE("quantities are converted to one unit for each dimension") {
  CHECK(Read("1 in", Dimension::kLength) == 25.4);
  CHECK(Near(Read("62 thou", Dimension::kLength), 1.5748, 1e-12));
  CHECK(Near(Read("100 psi", Dimension::kPressure), 6.894757, 1e-6));
  CHECK(Near(Read("690 kPa", Dimension::kPressure), 6.9, 1e-12));
  CHECK(Near(Read("1 lb ft", Dimension::kTorque), 1.355818, 1e-6));
  CHECK(Near(Read("1 lb in", Dimension::kTorque), 0.1129848, 1e-6));
  CHECK(Near(Read("1 lbf", Dimension::kForce), 4.448222, 1e-6));
  CHECK(std::abs(Read("32 °F", Dimension::kTemperature)) < 1e-12);
  CHECK(Near(Read("212 °F", Dimension::kTemperature), 100, 1e-12));
  CHECK(Read("100 mi", Dimension::kDistance) == 160.9344);
  CHECK(Read("12%", Dimension::kNumber) == 0.12);
  CHECK(Read("-0.5", Dimension::kNumber) == -0.5);
}

TEST_CASE(
    "a quantity of another dimension, without a unit or of an unknown unit is refused with the reason") {
  CHECK(WhyNotRead("3 mm", Dimension::kPressure) == "`3 mm` is a length, not a pressure");
  CHECK(WhyNotRead("3", Dimension::kPressure) == "`3` needs a unit, as in `3 bar`");
  CHECK(WhyNotRead("3 bar", Dimension::kNumber) == "`3 bar` has a unit, but a plain number is wanted here");
  CHECK(WhyNotRead("3 furlong", Dimension::kDistance) ==
        "`furlong` is no unit known here; a distance is given in `km`, `mi`, `miles`");
  CHECK_FALSE(WhyNotRead("1,5 mm", Dimension::kLength).empty());
  CHECK_FALSE(WhyNotRead("mm", Dimension::kLength).empty());
}

// What is said of a number as it was written, in a range.
std::string Outside(const char* text, Dimension dimension, const QuantityRange& range) {
  return WhyOutside(Read(text, dimension), text, dimension, range).value_or("can be");
}

TEST_CASE("a number that no such thing can have is refused, with the slip behind it where one is likely") {
  const auto of = [](const char* text, Dimension dimension) {
    return Outside(text, dimension, RangeOf(dimension));
  };
  CHECK(of("-180000 km", Dimension::kDistance) ==
        "`-180000 km` cannot be: a distance here is from 0 km to 5000000 km; is the minus a slip?");
  CHECK(of("1e308 km", Dimension::kDistance) ==
        "`1e308 km` cannot be: a distance here is from 0 km to 5000000 km, more than any vehicle runs");
  CHECK(of("1620 bar", Dimension::kPressure) ==
        "`1620 bar` cannot be: a pressure here is from 0 bar to 300 bar, ten times the most that any unit "
        "runs at; "
        "was it `1620 kPa` or `1620 psi`?");
  CHECK(of("-5 bar", Dimension::kPressure) ==
        "`-5 bar` cannot be: a pressure here is from 0 bar to 300 bar; is the minus a slip?");
  CHECK(of("-500 degC", Dimension::kTemperature) ==
        "`-500 degC` cannot be: a temperature here is from -60 °C to 1000 °C; is the minus a slip?");
  CHECK(of("9 bar", Dimension::kPressure) == "can be");
  CHECK(of("0 bar", Dimension::kPressure) == "can be");
  CHECK(of("300 bar", Dimension::kPressure) == "can be");
  CHECK(of("-40 degF", Dimension::kTemperature) == "can be");
  CHECK(of("-12 V", Dimension::kVoltage) == "can be");
  CHECK(of("-3.4", Dimension::kNumber) == "can be");
  CHECK(of("1e300", Dimension::kNumber) == "can be");
  const QuantityRange line{0, 40, false};
  CHECK(Outside("130 bar", Dimension::kPressure, line) ==
        "`130 bar` cannot be: a pressure here is from 0 bar to 40 bar; was it `130 kPa` or `130 psi`?");
  CHECK(Outside("1620 psi", Dimension::kPressure, line) ==
        "`1620 psi` cannot be: a pressure here is from 0 bar to 40 bar; was it `1620 kPa`?");
  CHECK(Outside("40 bar", Dimension::kPressure, line) == "can be");
  const QuantityRange count{0, 60, true};
  CHECK(Outside("2.5", Dimension::kNumber, count) ==
        "`2.5` cannot be: a count here is a whole number from 0 to 60");
  CHECK(Outside("12%", Dimension::kNumber, count) ==
        "`12%` cannot be: a count here is a whole number from 0 to 60");
  CHECK(Outside("-3", Dimension::kNumber, count) ==
        "`-3` cannot be: a count here is a whole number from 0 to 60; is the minus a slip?");
  CHECK(Outside("3", Dimension::kNumber, count) == "can be");
}

TEST_CASE("what only looks like a number is refused with what is wrong with it") {
  CHECK(WhyNotRead("nan", Dimension::kPressure) == "`nan` is not allowed; only finite numbers are");
  CHECK(WhyNotRead(".nan", Dimension::kPressure) == "`.nan` is not allowed; only finite numbers are");
  CHECK(WhyNotRead("-inf", Dimension::kPressure) == "`-inf` is not allowed; only finite numbers are");
  CHECK(WhyNotRead("nan bar", Dimension::kPressure) == "`nan bar` is not a number");
  CHECK(WhyNotRead("-inf km", Dimension::kDistance) == "`-inf km` is not a number");
  CHECK(WhyNotRead("1e309 km", Dimension::kDistance) == "`1e309` is too large or too small for a number");
  CHECK(WhyNotRead("1.5e308 mi", Dimension::kDistance) == "`1.5e308 mi` is too large for a number");
  CHECK(WhyNotRead("\u22125 bar", Dimension::kPressure) ==
        "`\u22125 bar` starts with a typographic minus; use -");
  CHECK(WhyNotRead("bar", Dimension::kPressure) == "`bar` is not a number");
}

TEST_CASE("quantities are shown in their base unit with as many digits as matter") {
  CHECK(ShowQuantity(7.584233, Dimension::kPressure) == "7.584 bar");
  CHECK(ShowQuantity(180000, Dimension::kDistance) == "180000 km");
  CHECK(ShowQuantity(0.12, Dimension::kNumber) == "0.12");
}

}  // namespace
}  // namespace gearwhy
