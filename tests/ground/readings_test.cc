#include "engine/ground/readings.h"

#include <cmath>

#include "tests/support/catch.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

std::unique_ptr<ShippedCase> Diagnosed(ShippedBook& shipped, const std::string& measured,
                                       const std::string& variant = "light") {
  return DiagnoseText(shipped, "x",
                      "case: x\ntitle: Slips\nunit: simpson-three-speed\n" +
                          (variant.empty() ? "" : "variant: " + variant + "\n") +
                          "complaint: [{present: {slips: R}, trust: customer}]\n" +
                          (measured.empty() ? "" : "measured:\n" + measured));
}

double ChanceOf(const ShippedCase& shown, const char* id) {
  for (std::size_t i = 0; i < shown.diagnosis->ground.events.size(); ++i) {
    if (StatementId(shown.diagnosis->ground.events[i].statement) == id)
      return shown.diagnosis->chances.p_event[i];
  }
  FAIL("no event " << id);
  return 0;
}

std::string Pressure(double bar, const std::string& with = "pressure_gauge") {
  return "  - line_pressure: {range: R, is: " + std::to_string(bar) + " bar, with: " + with + "}\n";
}

// The least in reverse is 14.5 bar for the light variant.
TEST_CASE("a reading a little below its limit says hardly more than one a little above") {
  ShippedBook shipped;
  const auto reads_low = [&](double bar) {
    return ChanceOf(*Diagnosed(shipped, Pressure(bar)), "pressure_reads_low:R:stall");
  };
  const double below = reads_low(14.45), above = reads_low(14.55);
  CHECK(below > above);
  CHECK(below - above < 0.25);  // half a standard uncertainty apart
  double before = 1;
  for (double bar = 12; bar < 17; bar += 0.25) {
    const double now = reads_low(bar);
    CHECK(now <= before + 1e-6);
    before = now;
  }
  CHECK(reads_low(12) > 0.9);
}

TEST_CASE("a finding is known where the reading is clear of the limit, and neither where it is not") {
  ShippedBook shipped;
  const auto known = [&](double bar) {
    const auto shown = Diagnosed(shipped, Pressure(bar));
    const FactStore& store = shown->diagnosis->Likeliest().store;
    const Statement low{"pressure_reads_low", {std::string("R"), std::string("stall")}};
    return std::pair(store.Find(Sense::kPresent, low).has_value(),
                     store.Find(Sense::kAbsent, low).has_value());
  };
  CHECK(known(13) == std::pair(true, false));
  CHECK(known(14.4) == std::pair(false, false));
  CHECK(known(14.6) == std::pair(false, false));
  CHECK(known(16) == std::pair(false, true));
}

// The end play of this unit must be 0.35 to 0.9 mm, and one finding lies beyond either limit.
TEST_CASE("what lies beyond limits on both sides is reported once, by the limit that is nearer") {
  ShippedBook shipped;
  const auto play = [&](double mm) {
    return Diagnosed(shipped, "  - end_play: {is: " + std::to_string(mm) + " mm}\n");
  };
  const auto reports = [](const ShippedCase& shown) {
    int of_reading = 0;
    for (const GroundReport& report : shown.diagnosis->ground.reports) of_reading += report.reading >= 0;
    return of_reading;
  };
  const auto nothing = Diagnosed(shipped, "");
  const GroundNetwork& ground = nothing->diagnosis->ground;
  const double before = ground.common->Of(*ground.Find({"end_play_reads_wrong", {}}));
  double tight = 1;
  for (const double mm : {0.1, 0.25, 0.33, 0.37, 0.45, 0.6}) {
    const auto shown = play(mm);
    CHECK(reports(*shown) == 1);
    const double now = ChanceOf(*shown, "end_play_reads_wrong");
    CHECK(now < tight);
    tight = now;
  }
  CHECK(tight < before);  // well inside it speaks for nothing
  CHECK(ChanceOf(*play(1.2), "end_play_reads_wrong") > 20 * before);
  const auto known = [&](double mm, Sense sense) {
    return play(mm)->diagnosis->Likeliest().store.Find(sense, {"end_play_reads_wrong", {}}).has_value();
  };
  CHECK(known(0.2, Sense::kPresent));
  CHECK(known(1.2, Sense::kPresent));
  CHECK(known(0.6, Sense::kAbsent));
  CHECK_FALSE(known(0.35, Sense::kPresent));
  CHECK_FALSE(known(0.35, Sense::kAbsent));
}

TEST_CASE("a finer instrument says more of the same number") {
  ShippedBook shipped;
  const double coarse = ChanceOf(*Diagnosed(shipped, Pressure(14.2)), "line_pressure_low");
  const double fine = ChanceOf(*Diagnosed(shipped, Pressure(14.2, "pressure_sensor")), "line_pressure_low");
  CHECK(fine > coarse);
}

TEST_CASE("what is measured as the unit goes together says nothing of what came in") {
  ShippedBook shipped;
  const auto without = Diagnosed(shipped, "");
  const auto with = Diagnosed(shipped, "  - pack_clearance: {element: B, is: 4.0 mm, when: as_built}\n");
  for (std::size_t i = 0; i < without->diagnosis->chances.p_event.size(); ++i) {
    if (!std::isnan(without->diagnosis->chances.p_event[i]))
      REQUIRE(without->diagnosis->chances.p_event[i] == with->diagnosis->chances.p_event[i]);
  }
  REQUIRE(with->diagnosis->Likeliest().readings.size() == 1);
  CHECK(with->diagnosis->Likeliest().readings[0].Beyond() != nullptr);
}

TEST_CASE("of places the worst decides, and a part is within only where all are") {
  ShippedBook shipped;
  const auto judged = [&](const std::string& places) {
    return Diagnosed(shipped, "  - lining_thickness: {part: D.band, places: {" + places + "}}\n")
        ->diagnosis->Likeliest()
        .readings.at(0);
  };
  const JudgedReading worn = judged("1: 1.9 mm, 2: 1.1 mm, 3: 1.8 mm");
  REQUIRE(worn.Beyond() != nullptr);
  CHECK(worn.Decides().place == "2");
  CHECK(judged("1: 1.9 mm, 2: 1.7 mm").IsWithin());
  const JudgedReading close = judged("1: 1.9 mm, 2: 1.36 mm");
  CHECK_FALSE(close.IsWithin());
  CHECK(close.Untold() != nullptr);
}

TEST_CASE("what the case says of a limit goes before what the unit says") {
  ShippedBook shipped;
  const std::string reading = "  - lining_thickness: {part: D.band, is: 1.3 mm}\n";
  CHECK(Diagnosed(shipped, reading)->diagnosis->Likeliest().readings.at(0).limits.at(0).limit.limit == 1.35);
  CHECK(Diagnosed(shipped, reading + "  - lining_limit: {part: D.band, least: 1.1 mm}\n")
            ->diagnosis->Likeliest()
            .readings.at(0)
            .limits.at(0)
            .limit.limit == 1.1);
}

// Each variant on its own, weighed by how likely it is after the reading.
TEST_CASE(
    "of an unknown variant a reading is judged by the limits of each, and the answer lies between theirs") {
  ShippedBook shipped;
  for (const double bar : {13.0, 15.2, 16.5, 18.5}) {
    INFO(bar);
    const double light = ChanceOf(*Diagnosed(shipped, Pressure(bar), "light"), "line_pressure_low");
    const double heavy = ChanceOf(*Diagnosed(shipped, Pressure(bar), "heavy"), "line_pressure_low");
    const auto mixed = Diagnosed(shipped, Pressure(bar), "");
    const std::vector<double>& p = mixed->diagnosis->chances.p_world;
    REQUIRE(p.size() == 2);
    CHECK(p[0] + p[1] == Approx(1));
    CHECK(ChanceOf(*mixed, "line_pressure_low") == Approx(p[0] * light + p[1] * heavy).margin(0.02));
  }
}

TEST_CASE("two instruments that contradict each other are named, and believed less than either") {
  ShippedBook shipped;
  const auto judged = Diagnosed(shipped,
                                "  - pack_clearance: {element: C, is: 1.1 mm, with: dial_gauge}\n"
                                "  - pack_clearance: {element: C, is: 1.6 mm, with: feeler_gauge}\n")
                          ->diagnosis->Likeliest()
                          .readings;
  REQUIRE(judged.size() == 1);
  CHECK(judged[0].contradict);
  CHECK(judged[0].with == std::vector<std::string>{"dial_gauge", "feeler_gauge"});
  CHECK(judged[0].Untold() != nullptr);
}

}  // namespace
}  // namespace gearwhy
