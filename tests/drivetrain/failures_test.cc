// What ranges do when one element fails, and what a measured ratio says.
#include "engine/drivetrain/failures.h"

#include <algorithm>

#include "tests/drivetrain/units.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

const ElementFailure& Find(const std::vector<ElementFailure>& failures, const std::string& element,
                           const std::string& range) {
  for (const ElementFailure& failure : failures)
    if (failure.element == element && failure.range == range) return failure;
  FAIL("no failure of " << element << " in " << range);
  return failures.front();
}

bool Has(const std::vector<ElementFailure>& failures, const std::string& element, const std::string& range) {
  return std::any_of(failures.begin(), failures.end(), [&](const ElementFailure& failure) {
    return failure.element == element && failure.range == range;
  });
}

using Names = std::vector<std::string>;

TEST_CASE("a Simpson set without its band in second stays in first through the one-way clutch") {
  // Common practice: a burnt second band of a Simpson set gives no second, and first instead.
  const UnitBehaviour behaviour = Analyse(Simpson(33, 72));
  const ElementFailure& band = Find(behaviour.fails_to_hold, "B", "D2");
  CHECK(band.acts_as == "D1");
  CHECK(Find(behaviour.fails_to_hold, "C", "D1").state.drive == Drive::kNeutral);
  CHECK(Find(behaviour.fails_to_hold, "F", "D1").state.drive == Drive::kNeutral);
  // Without the direct clutch third is first again: nothing holds the sun.
  CHECK(Find(behaviour.fails_to_hold, "S", "D3").acts_as == "D1");
  CHECK(Find(behaviour.fails_to_hold, "L", "R").state.drive == Drive::kNeutral);
  CHECK_FALSE(Has(behaviour.fails_to_hold, "F", "D2"));  // it overruns there
}

TEST_CASE("a Simpson set binds or changes range when an element does not release") {
  const UnitBehaviour behaviour = Analyse(Simpson(33, 72));
  CHECK(Find(behaviour.fails_to_release, "B", "D3").state.drive == Drive::kLocked);
  CHECK(Find(behaviour.fails_to_release, "L", "D2").state.drive == Drive::kLocked);
  CHECK(Find(behaviour.fails_to_release, "B", "D1").acts_as == "D2");
  CHECK(Find(behaviour.fails_to_release, "C", "R").state.drive == Drive::kLocked);
  CHECK(Find(behaviour.fails_to_release, "F", "D2").state.drive == Drive::kLocked);  // seized
  // Applied beside the one-way clutch, the brake changes nothing when the engine drives.
  CHECK(Find(behaviour.fails_to_release, "L", "D1").acts_as == "D1");
}

TEST_CASE("engine braking is by design where nothing freewheels") {
  const UnitBehaviour behaviour = Analyse(FiveSpeed());
  CHECK(behaviour.FindRange("D1")->coasting.drive == Drive::kNeutral);
  CHECK(behaviour.FindRange("D2")->coasting.drive == Drive::kNeutral);
  CHECK(behaviour.FindRange("D3")->coasting.drive == Drive::kRatio);
  CHECK(behaviour.FindRange("M1")->coasting.ratio == Approx(behaviour.FindRange("D1")->driving.ratio));
  CHECK(behaviour.FindRange("R")->coasting.drive == Drive::kRatio);
  CHECK(behaviour.FindRange("M1")->coast_elements == Names{"E", "G"});
  CHECK(behaviour.FindRange("M2")->coast_elements == Names{"G"});
  CHECK(behaviour.FindRange("D3")->coast_elements.empty());
  CHECK(behaviour.FindRange("N")->driving.drive == Drive::kNeutral);
}

TEST_CASE("the five-speed unit's ranges multiply the ratios of its two sets") {
  // Ravigneaux and simple closed forms by Willis' formula, multiplied.
  const double first = 98.0 / 34, second = first * (1 + 34.0 / 38) / (1 + 98.0 / 38), over = 98.0 / 136,
               rear = 1 + 30.0 / 90;
  const UnitBehaviour behaviour = Analyse(FiveSpeed());
  const std::pair<const char*, double> expected[] = {{"D1", first * rear}, {"D2", second * rear},
                                                     {"D3", second},       {"D4", 1},
                                                     {"D5", over},         {"R", -98.0 / 38 * rear}};
  for (const auto& [range, ratio] : expected) {
    INFO(range);
    CHECK(behaviour.FindRange(range)->driving.ratio == Approx(ratio).epsilon(1e-12));
  }
  CHECK(behaviour.FindRange("D1")->driving.one_way_holding == Names{"F", "J"});
  CHECK(behaviour.FindRange("D2")->driving.one_way_holding == Names{"J"});
  CHECK(behaviour.FindRange("M2")->driving.one_way_holding.empty());
}

TEST_CASE("the five-speed unit falls back, changes ratio or stops when an element does not hold") {
  // Ratios of the same closed forms, with the element's set in its other state.
  const UnitBehaviour behaviour = Analyse(FiveSpeed());
  CHECK(Find(behaviour.fails_to_hold, "D", "D2").acts_as == "D1");
  CHECK(Find(behaviour.fails_to_hold, "H", "D3").acts_as == "D2");  // of D2 and M2, the first in the file
  // The one-way clutch takes over: the same when driving.
  CHECK(Find(behaviour.fails_to_hold, "G", "M2").acts_as == "M2");
  const ElementFailure& fifth = Find(behaviour.fails_to_hold, "H", "D5");
  CHECK_FALSE(fifth.acts_as.has_value());
  CHECK(fifth.state.ratio == Approx(98.0 / 136 * (1 + 30.0 / 90)));
  CHECK(Find(behaviour.fails_to_hold, "B", "D4").state.ratio == Approx(98.0 / 34));
  CHECK(Find(behaviour.fails_to_hold, "A", "D3").state.drive == Drive::kNeutral);
  for (const char* element : {"C", "E", "G"})
    CHECK(Find(behaviour.fails_to_hold, element, "R").state.drive == Drive::kNeutral);
}

TEST_CASE("the five-speed unit binds or drives as another range when an element does not release") {
  const UnitBehaviour behaviour = Analyse(FiveSpeed());
  CHECK(Find(behaviour.fails_to_release, "D", "D4").state.drive == Drive::kLocked);
  CHECK(Find(behaviour.fails_to_release, "G", "D3").state.drive == Drive::kLocked);
  CHECK(Find(behaviour.fails_to_release, "A", "R").state.drive == Drive::kLocked);
  CHECK(Find(behaviour.fails_to_release, "H", "D2").acts_as == "D3");
  CHECK(Find(behaviour.fails_to_release, "A", "N").acts_as == "D1");  // it creeps in neutral
  CHECK(Find(behaviour.fails_to_release, "C", "D4").state.torque_shared);
  // A clutch that holds anyway cannot be seized for the worse.
  CHECK_FALSE(Has(behaviour.fails_to_release, "F", "D1"));
}

TEST_CASE("a shift names what comes on and goes off, and its step") {
  const UnitBehaviour behaviour = Analyse(FiveSpeed());
  REQUIRE(behaviour.shifts.size() == 3);
  CHECK(behaviour.shifts[0].comes_on == Names{"D"});
  CHECK(behaviour.shifts[0].goes_off.empty());
  CHECK(behaviour.shifts[0].step * behaviour.shifts[1].step == Approx(1));
  CHECK(behaviour.shifts[2].comes_on == Names{"B"});
  CHECK(behaviour.shifts[2].goes_off == Names{"D"});
}

TEST_CASE("measured speeds give slip and the element states that explain them") {
  const Unit unit = FiveSpeed();
  SECTION("as it should be") {
    const SpeedReading reading = ReadSpeeds(unit, "D3", 1526, 1000);
    CHECK(reading.slip == Approx(0).margin(1e-3));
    REQUIRE(reading.causes.size() == 1);
    CHECK(reading.causes[0].not_holding.empty());
    CHECK(reading.causes[0].not_releasing.empty());
  }
  SECTION("third with second's ratio: the rear clutch is open") {
    const SpeedReading reading = ReadSpeeds(unit, "D3", 2035, 1000);
    CHECK(reading.ratio == Approx(2.035));
    // The share of input speed lost: 1 - 3rd / 2nd, and the rear set's two ratios are 1 and 4/3.
    CHECK(reading.slip == Approx(0.25).margin(1e-3));
    REQUIRE(reading.causes.size() == 1);
    CHECK(reading.causes[0].not_holding == Names{"H"});
    CHECK(reading.causes[0].ratio ==
          Approx(4.0 / 3 * Solve(unit, {"A", "D", "H"}, PowerFlow::kDriving).ratio));
  }
  SECTION("first with third's ratio: band and rear clutch are on") {
    const SpeedReading reading = ReadSpeeds(unit, "D1", 1526, 1000);
    CHECK(reading.slip < 0);
    REQUIRE(reading.causes.size() == 1);
    CHECK(reading.causes[0].not_releasing == Names{"D", "H"});
  }
  SECTION("fourth with first's ratio needs two changes, each the smallest") {
    const SpeedReading reading = ReadSpeeds(unit, "D4", 3843, 1000);
    REQUIRE(reading.causes.size() == 1);
    CHECK(reading.causes[0].not_holding == Names{"B", "H"});
  }
  SECTION("one change is listed before two") {
    const SpeedReading reading = ReadSpeeds(unit, "D1", 1333, 1000);
    REQUIRE(reading.causes.size() >= 2);
    CHECK(reading.causes[0].not_releasing == Names{"B"});
    CHECK(reading.causes[1].not_releasing == Names{"C"});
    std::size_t before = 0;
    for (const RatioCause& cause : reading.causes) {
      CHECK(cause.not_holding.size() + cause.not_releasing.size() >= before);
      before = cause.not_holding.size() + cause.not_releasing.size();
    }
  }
  SECTION("reverse: sensors tell no sense of rotation") {
    const SpeedReading reading = ReadSpeeds(unit, "R", 3440, 1000);
    CHECK(reading.ratio == Approx(-3.44));
    CHECK(reading.slip == Approx(0).margin(1e-3));
  }
  SECTION("a slip that no states explain") {
    const SpeedReading reading = ReadSpeeds(unit, "D4", 1100, 1000);
    CHECK(reading.slip == Approx(1 - 1 / 1.1));
    CHECK(reading.causes.empty());
  }
  SECTION("neutral has no slip") { CHECK(ReadSpeeds(unit, "N", 800, 10).slip == 0); }
}

}  // namespace
}  // namespace gearwhy
