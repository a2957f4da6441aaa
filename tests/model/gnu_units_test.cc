// Every unit of measurement against GNU units (Debian `units`), which has its own tables.
#include <fmt/format.h>

#include <cstdlib>

#include "engine/model/quantity.h"
#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

struct Written {
  const char* unit;      // as gearwhy reads it
  const char* gnu;       // as GNU units does
  const char* gnu_base;  // what gearwhy keeps it in
  Dimension dimension;
};

TEST_CASE("quantities are converted as GNU units converts them") {
  const Written all[] = {
      {"cm", "cm", "mm", Dimension::kLength},
      {"in", "in", "mm", Dimension::kLength},
      {"thou", "mil", "mm", Dimension::kLength},
      {"kPa", "kPa", "bar", Dimension::kPressure},
      {"MPa", "MPa", "bar", Dimension::kPressure},
      {"mbar", "mbar", "bar", Dimension::kPressure},
      {"psi", "psi", "bar", Dimension::kPressure},
      {"inHg", "inHg", "bar", Dimension::kPressure},
      {"lb ft", "lbf ft", "N m", Dimension::kTorque},
      {"lb in", "lbf in", "N m", Dimension::kTorque},
      {"kN", "kN", "N", Dimension::kForce},
      {"lbf", "lbf", "N", Dimension::kForce},
      {"mi", "mile", "km", Dimension::kDistance},
      {"ms", "ms", "s", Dimension::kTime},
      {"min", "minute", "s", Dimension::kTime},
      {"kohm", "kohm", "ohm", Dimension::kResistance},
      {"mV", "mV", "V", Dimension::kVoltage},
      {"L/s", "liter/s", "liter/minute", Dimension::kFlow},
      {"qt/min", "quart/minute", "liter/minute", Dimension::kFlow},
      {"gal/min", "gallon/minute", "liter/minute", Dimension::kFlow},
  };
  for (const Written& one : all) {
    INFO(one.unit);
    const Ran ran =
        RunCommand(fmt::format("LC_ALL=C units --terse --digits 12 '7 {}' '{}'", one.gnu, one.gnu_base));
    REQUIRE(ran.exit_code == 0);
    const double by_units = std::strtod(ran.out.c_str(), nullptr);
    std::string why;
    const auto number = ParseQuantity(fmt::format("7 {}", one.unit), one.dimension, &why);
    REQUIRE(number);
    CHECK(*number == Approx(by_units).epsilon(1e-6));
  }
}

}  // namespace
}  // namespace gearwhy
