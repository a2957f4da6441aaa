// What the repair needs decides whether the unit must come out: asked of shipped cases whose fault is
// settled.
#include <fmt/format.h>

#include <cstdlib>
#include <string>

#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

// The chance that the repair needs the unit out, as `gearwhy next` says it.
double ChanceOut(const std::string& name) {
  const Ran ran = RunCommand(fmt::format("cd '{}' && '{}' next 'cases/{}.yaml' --format json",
                                         GEARWHY_SOURCE_DIR, GEARWHY_PROGRAM, name));
  REQUIRE(ran.exit_code == 0);
  const std::size_t at = ran.out.find("\"chance\": ", ran.out.find("\"unit_out\": {"));
  REQUIRE(at != std::string::npos);
  return std::strtod(ran.out.c_str() + at + 10, nullptr);
}

TEST_CASE("a part that is renewed through a cover or from below leaves the unit in the vehicle") {
  CHECK(ChanceOut("second-slides-hard-servo-seal") < 0.1);
  CHECK(ChanceOut("neither-first-nor-fourth-jammed-solenoid") < 0.1);
  CHECK(ChanceOut("soft-second-and-no-kickdown") < 0.1);
}

// Something has shed what the filter is full of, and third may slip by itself.
TEST_CASE("a clogged filter comes out from below, and what clogged it may not") {
  const double out = ChanceOut("weak-and-whining-clogged-filter");
  CHECK(out > 0.3);
  CHECK(out < 0.6);
}

TEST_CASE("a part that comes out with the drums takes the unit out of the vehicle") {
  CHECK(ChanceOut("second-slides-band-worn") > 0.7);
  CHECK(ChanceOut("high-clutch-burnt-stepped-grooves") > 0.7);
}

}  // namespace
}  // namespace gearwhy
