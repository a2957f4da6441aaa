// The units that come with the project: each is sound, gives facts, and has the ratios that handbook formulas
// give for its tooth counts.
#include <algorithm>
#include <map>

#include "engine/drivetrain/unit_check.h"
#include "engine/drivetrain/unit_facts.h"
#include "tests/drivetrain/units.h"
#include "tests/support/catch.h"
#include "tests/support/shipped.h"

namespace gearwhy {
namespace {

using Ratios = std::map<std::string, double>;

// Torques balance between input, output and the case: what the elements to the case hold, each in its sense,
// adds up to the ratio less one.
// Not where a member is joined to the case, which then holds some of it, too.
void CheckSenses(const Unit& unit, const UnitBehaviour& behaviour) {
  for (const auto& join : unit.joins) {
    if (std::count(join.begin(), join.end(), "case") > 0) return;
  }
  for (const RangeBehaviour& range : behaviour.ranges) {
    if (range.driving.drive != Drive::kRatio) continue;
    INFO(range.range);
    double held = 0;
    for (const auto& [name, torque] : range.driving.torque) {
      const Element& element = *unit.FindElement(name);
      if (element.first != "case" && element.second != "case") continue;
      const auto& forward = range.driving.holds_forward;
      held += std::count(forward.begin(), forward.end(), name) > 0 ? -torque : torque;
    }
    CHECK(held == Approx(range.driving.ratio - 1).margin(1e-9));
  }
}

// Loads the unit, and checks what must hold for every one.
UnitBehaviour Sound(ShippedBook& shipped, const std::string& name) {
  const Unit& unit = shipped.UnitNamed(name);
  const UnitBehaviour behaviour = Analyse(unit);
  CheckUnit(unit, behaviour, shipped.diagnostics);
  for (const char* variant : {"light", "heavy"})
    CHECK(UnitFacts(unit, variant, behaviour, shipped.book->words, shipped.diagnostics).size() > 150);
  INFO(shipped.Errors());
  CHECK(shipped.diagnostics.Sorted().empty());
  // The light variant has one friction and one steel fewer in each pack (common practice of the trade).
  int packs = 0;
  for (const Part& part : unit.parts) {
    if (part.kind != "frictions" && part.kind != "steels") continue;
    INFO(part.id);
    ++packs;
    const std::string version = unit.versions.empty() ? "" : "-" + unit.versions.front().name;
    CHECK(part.CountIn("light" + version).value() + 1 == part.CountIn("heavy" + version).value());
  }
  CHECK(packs >= 4);
  CheckSenses(unit, behaviour);
  return behaviour;
}

void CheckRatios(const UnitBehaviour& behaviour, const Ratios& expected, double margin) {
  for (const auto& [range, ratio] : expected) {
    INFO(range);
    REQUIRE(behaviour.FindRange(range) != nullptr);
    CHECK(behaviour.FindRange(range)->driving.ratio == Approx(ratio).margin(margin));
  }
}

// Closed forms of the Simpson arrangement with sun s and ring r: 2 + s/r, 1 + s/r, 1, reverse -r/s. Tooth
// counts: textbook, from memory.
TEST_CASE("the Simpson three-speed has the ratios of its closed forms") {
  ShippedBook shipped;
  const double s = 33, r = 72;
  CheckRatios(
      Sound(shipped, "simpson-three-speed"),
      {{"D1", 2 + s / r}, {"D2", 1 + s / r}, {"D3", 1}, {"M1", 2 + s / r}, {"M2", 1 + s / r}, {"R", -r / s}},
      1e-9);
}

// Willis' formula for a Ravigneaux set with small sun a, large sun b and ring r, the ring being the output:
// w_ring r + w_large b = w_carrier (r + b), and w_ring r - w_small a = w_carrier (r - a).
TEST_CASE("the Ravigneaux four-speed has the ratios of Willis' formula") {
  ShippedBook shipped;
  const double a = 29, b = 34, r = 80;
  const double first = r / a;                           // carrier held
  const double second = (r / a + r / b) / (1 + r / b);  // large sun held: w_c = w_ring r / (r + b)
  const double fourth = r / (r + b);                    // carrier driven, large sun held
  CheckRatios(Sound(shipped, "ravigneaux-four-speed"),
              {{"D1", first},
               {"D2", second},
               {"D3", 1},
               {"D4", fourth},
               {"M1", first},
               {"M2", second},
               {"R", -r / b}},
              1e-9);
}

// Published ratios of the arrangement with these tooth counts (front 37 and 71; rear 31, 38 and 85), from
// memory.
TEST_CASE("the Lepelletier six-speed has the published ratios") {
  ShippedBook shipped;
  CheckRatios(Sound(shipped, "lepelletier-six-speed"),
              {{"D1", 4.171},
               {"D2", 2.340},
               {"D3", 1.521},
               {"D4", 1.143},
               {"D5", 0.867},
               {"D6", 0.691},
               {"R", -3.403}},
              5.1e-4);
}

TEST_CASE("the five-speed has the arrangement and ratios that the other tests build in memory") {
  ShippedBook shipped;
  const UnitBehaviour behaviour = Sound(shipped, "ravigneaux-simple-five-speed");
  const Unit& unit = shipped.UnitNamed("ravigneaux-simple-five-speed");
  const Unit built = FiveSpeed();
  REQUIRE(unit.ranges.size() == built.ranges.size());
  const UnitBehaviour expected = Analyse(built);
  Ratios ratios;
  for (const Range& range : built.ranges) {
    INFO(range.name);
    REQUIRE(unit.FindRange(range.name));
    CHECK(unit.FindRange(range.name)->applied == range.applied);
    ratios[range.name] = expected.FindRange(range.name)->driving.ratio;
  }
  CheckRatios(behaviour, ratios, 1e-9);
}

TEST_CASE("every shipped unit is held here") {
  ShippedBook shipped;
  CHECK(shipped.shelf->Names() == std::vector<std::string>{"lepelletier-six-speed", "ravigneaux-four-speed",
                                                           "ravigneaux-simple-five-speed",
                                                           "simpson-three-speed"});
}

}  // namespace
}  // namespace gearwhy
