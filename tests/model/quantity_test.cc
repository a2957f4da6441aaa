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

TEST_CASE("quantities are shown in their base unit with as many digits as matter") {
  CHECK(ShowQuantity(7.584233, Dimension::kPressure) == "7.584 bar");
  CHECK(ShowQuantity(180000, Dimension::kDistance) == "180000 km");
  CHECK(ShowQuantity(0.12, Dimension::kNumber) == "0.12");
}

}  // namespace
}  // namespace gearwhy
