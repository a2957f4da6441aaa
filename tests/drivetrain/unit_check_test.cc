// What the unit check says, in full.
#include "engine/drivetrain/unit_check.h"

#include "tests/drivetrain/units.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// "error range-neutral: message", one a line.
std::string Check(const Unit& unit) {
  Diagnostics diagnostics;
  CheckUnit(unit, Analyse(unit), diagnostics);
  std::string text;
  for (const Diagnostic& diagnostic : diagnostics.Sorted())
    text += (diagnostic.severity == Severity::kError ? "error " : "warning ") + diagnostic.code + ": " +
            diagnostic.message + "\n";
  return text;
}

Range& FindRange(Unit& unit, const std::string& name) {
  for (Range& range : unit.ranges)
    if (range.name == name) return range;
  FAIL("no range " << name);
  return unit.ranges.front();
}

TEST_CASE("sound units pass, two ranges of one ratio among them") {
  CHECK(Check(FiveSpeed()) == "");
  CHECK(Check(Simpson(34, 72)) == "");
  CHECK(Check(Lepelletier()) ==
        "warning teeth-do-not-mesh: the planets of `rear` would need 23.5 teeth (ring less large sun is 47); "
        "only teeth with profile shift mesh so; if they have it, say `profile_shift: true`\n");
}

TEST_CASE("a range that does not drive or binds is an error") {
  Unit unit = FiveSpeed();
  AddRange(unit, "X", {"C", "G"});
  AddRange(unit, "Y", {"A", "C", "D"});
  AddRange(unit, "Z", {});
  CHECK(Check(unit) ==
        "error range-neutral: `X` does not drive: with `C` and `G` applied the output is free; write "
        "`neutral: true` if it is meant so\n"
        "error range-locked: `Y` binds: with `A`, `C` and `D` applied the input or the output cannot turn\n"
        "error range-neutral: `Z` does not drive: with nothing applied the output is free; write `neutral: "
        "true` if it is meant so\n");
}

TEST_CASE("a neutral range that drives is an error") {
  Unit unit = FiveSpeed();
  FindRange(unit, "N").applied = {"A"};
  CHECK(Check(unit) ==
        "error range-drives: `N` is neutral by design, but with `A` applied it drives at 3.843\n");
}

TEST_CASE("a stated ratio may differ by half a part in a hundred") {
  Unit unit = FiveSpeed();
  FindRange(unit, "D2").stated_ratio = 2.03;
  FindRange(unit, "R").stated_ratio = -3.44;
  CHECK(Check(unit) == "");
  FindRange(unit, "D2").stated_ratio = 2.02;
  FindRange(unit, "R").stated_ratio = 3.44;
  CHECK(Check(unit) ==
        "error ratio-differs: `D2` is stated as 2.02, but its tooth counts give 2.035\n"
        "error ratio-differs: `R` is stated as 3.44, but its tooth counts give -3.439\n");
}

TEST_CASE("an element without work is an error") {
  Unit unit = FiveSpeed();
  AddElement(unit, "K", ElementType::kBrake, "front.small_sun", "case");
  AddElement(unit, "L", ElementType::kClutch, "front.ring", "rear.ring");
  AddElement(unit, "M", ElementType::kOneWayClutch, "input", "case");  // the input never turns backward
  CHECK(Check(unit) ==
        "error element-unused: no range applies `K`\n"
        "error element-idle: `L` does nothing: `front.ring` and `rear.ring` always turn as one\n"
        "error element-unused: `M` holds in no range; are its members the wrong way round?\n");
}

TEST_CASE("a loose input or output is said once, not for each range") {
  Unit unit = FiveSpeed();
  unit.joins.pop_back();
  CHECK(Check(unit) ==
        "error end-loose: the output is not connected: no join and no element names `output`\n");
  unit = OneSet(SimpleSet("set", 30, 90), "sun", "carrier", "ring");
  unit.joins.erase(unit.joins.begin());
  CHECK(Check(unit) == "error end-loose: the input is not connected: no join and no element names `input`\n");
}

TEST_CASE("planets need whole teeth") {
  Unit unit = OneSet(SimpleSet("set", 31, 90), "sun", "carrier", "ring");
  CHECK(Check(unit) ==
        "warning teeth-do-not-mesh: the planets of `set` would need 29.5 teeth (ring less sun is 59); only "
        "teeth with profile shift mesh so; if they have it, say `profile_shift: true`\n");
  unit.gearsets[0].profile_shift = true;
  CHECK(Check(unit) == "");
  unit.gearsets[0].profile_shift = false;
  unit.gearsets[0].type = Gearset::Type::kDualPinion;
  CHECK(Check(unit) == "");
}

}  // namespace
}  // namespace gearwhy
