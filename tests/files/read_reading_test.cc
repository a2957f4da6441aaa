#include "tests/support/catch.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

std::string Head(const std::string& measured) {
  return "case: x\ntitle: Slips\nunit: simpson-three-speed\nmeasured:\n" + measured;
}

// The first error of a case, without its excerpt.
std::string ErrorOf(const std::string& measured) {
  ShippedBook shipped;
  const int source = shipped.sources.Add("x.yaml", Head(measured));
  const auto c = shipped.opened->ReadCase(shipped.sources, source, "x", "", shipped.diagnostics);
  CHECK_FALSE(c);
  const auto all = shipped.diagnostics.Sorted();
  REQUIRE_FALSE(all.empty());
  return all.front().message + " [" + all.front().code + "]";
}

Case Read(ShippedBook& shipped, const std::string& measured) {
  return ReadCaseText(shipped, "x", Head(measured));
}

TEST_CASE("a reading is read with its instrument, its repeats, its places and its time") {
  ShippedBook shipped;
  const Case c =
      Read(shipped,
           "  - line_pressure: {range: R, is: 15 bar}\n"
           "  - pack_clearance: {element: B, is: [1.2 mm, 1.4 mm], with: dial_gauge}\n"
           "  - pack_clearance: {element: B, is: 1.1 mm, when: as_built}\n"
           "  - lining_thickness: {part: D.band, places: {front: 1.58 mm, 2: [1.50 mm, 1.52 mm]}}\n");
  REQUIRE(c.facts.size() == 4);
  CHECK_FALSE(c.facts[0].reading);
  CHECK(c.facts[1].reading == Reading{"dial_gauge", false, {}, {{"", {1.2, 1.4}}}});
  CHECK(std::get<double>(c.facts[1].statement.slots[1]) == Approx(1.3));
  CHECK(c.facts[2].reading == Reading{"feeler_gauge", true, {}, {{"", {1.1}}}});
  CHECK(c.facts[3].reading == Reading{"caliper", false, {}, {{"front", {1.58}}, {"2", {1.50, 1.52}}}});
}

// IEC 60028, annealed copper: a temperature coefficient of 0.00393 a degree at 20 °C, R = R20 (1 + 0.00393 (T
// - 20 °C)). From memory. A coil of 25 ohm at 20 °C has 25 × 1.2358 = 30.895 ohm at 80 °C.
TEST_CASE("a coil that is read warm is kept as it would read at 20 °C") {
  ShippedBook shipped;
  const auto is = [&](const std::string& reading) {
    const Case c = Read(shipped, "  - coil_resistance: {part: pump, " + reading + "}\n");
    return std::get<double>(c.facts.at(0).statement.slots[1]);
  };
  CHECK(is("is: 30.895 ohm, temperature: 80 degC") == Approx(25));
  CHECK(is("is: 25 ohm, temperature: 20 degC") == Approx(25));
  CHECK(is("is: 25 ohm") == Approx(25));
  CHECK(is("is: 30.895 ohm, temperature: 176 degF") == Approx(25));
  CHECK(is("is: 19.105 ohm, temperature: -40 degC") == Approx(25));
  CHECK(is("places: {1: 30.895 ohm}, temperature: 80 degC") == Approx(25));
}

TEST_CASE("what is wrong with a reading is said where it stands, and what would be right") {
  struct Row {
    const char* measured;
    const char* error;
  };
  const Row rows[] = {
      {"  - pack_clearance: {element: B, is: 1.3}\n",
       "slot `is`: `1.3` needs a unit, as in `1.3 mm` [bad-quantity]"},
      {"  - pack_clearance: {element: B, is: [1.3 mm, 3 bar]}\n",
       "slot `is`: `3 bar` is a pressure, not a length [bad-quantity]"},
      {"  - pack_clearance: {element: B, is: -1.3 mm}\n",
       "slot `is`: `-1.3 mm` cannot be: a length here is from 0 mm to 15 mm; is the minus a slip? "
       "[cannot-be]"},
      {"  - line_pressure: {range: R, is: [15 bar, 1620 bar]}\n",
       "slot `is`: `1620 bar` cannot be: a pressure here is from 0 bar to 40 bar; was it `1620 kPa`? "
       "[cannot-be]"},
      {"  - lining_thickness: {part: Z.band, is: 1.5 mm, with: caliper}\n",
       "there is no part called `Z.band`; did you mean `A.band`? [unknown-value]"},
      {"  - pack_clearance: {element: B, is: 1.3 mm, with: callipers}\n",
       "there is no instrument called `callipers`; did you mean `caliper`? [unknown-instrument]"},
      {"  - pack_clearance: {element: B, is: 1.3 mm, with: pressure_gauge}\n",
       "a pressure gauge reads a pressure, not a length; it is measured with `feeler_gauge`, `dial_gauge` "
       "[wrong-instrument]"},
      {"  - pack_clearance: {element: B, is: 1.3 mm, when: later}\n",
       "there is no time called `later`; known are `as_found`, `as_built` [unknown-time]"},
      {"  - pack_clearance: {element: B, is: 1.3 mm, temperature: 80 degC}\n",
       "`pack_clearance` is judged as it is read, whatever its temperature [no-temperature]"},
      {"  - pack_clearance: {element: B}\n",
       "`pack_clearance` needs its slot `is`, what was read, or `places`, what was read at each "
       "[is-or-places]"},
      {"  - pack_clearance: {element: B, is: 1 mm, places: {1: 1 mm}}\n",
       "say either `is:`, readings of one place, or `places:`, readings of several [is-or-places]"},
      {"  - pack_clearance: {element: B, is: []}\n", "there is no reading in this list [no-reading]"},
      {"  - pack_clearance: {element: B, places: [1 mm]}\n",
       "`places` names each place with what was read there, as in `{1: 1.58 mm, 2: 1.49 mm}` [not-places]"},
      {"  - pack_clearance: {element: B, is: 1 mm}\n  - pack_clearance: {element: B, is: 2 mm}\n",
       "`pack_clearance:B` has been said already with another number, and only one of them can hold "
       "[said-otherwise]"},
  };
  for (const Row& row : rows) {
    INFO(row.measured);
    CHECK(ErrorOf(row.measured) == row.error);
  }
}

}  // namespace
}  // namespace gearwhy
