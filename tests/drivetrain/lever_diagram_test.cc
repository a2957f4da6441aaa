// The levers of units: places from tooth counts, speeds on a straight line, ratios by handbook formulas.
#include "engine/drivetrain/lever_diagram.h"

#include <cmath>

#include "tests/support/catch.h"
#include "tests/support/shipped.h"

namespace gearwhy {
namespace {

// The shipped units, and what their gears do.
struct Known {
  ShippedBook shipped;
  const Unit& unit;
  UnitBehaviour behaviour;
  LeverDiagram diagram;

  explicit Known(const std::string& name)
      : unit(shipped.UnitNamed(name)), behaviour(Analyse(unit)), diagram(MakeLeverDiagram(unit, behaviour)) {}

  double PlaceOf(std::size_t lever, const std::string& member) const {
    for (const LeverNode& node : diagram.levers.at(lever).nodes) {
      for (const std::string& name : node.members) {
        if (name == member) return node.place;
      }
    }
    FAIL("no member " << member);
    return 0;
  }
  const LeverLine& Line(std::size_t lever, const std::string& range) const {
    for (const RangeLines& lines : diagram.ranges) {
      if (lines.range == range) return lines.lines.at(lever).value();
    }
    FAIL("no range " << range);
    return diagram.ranges.front().lines.front().value();
  }
};

TEST_CASE("sun and ring stand from the carrier as ring to sun teeth") {
  // H. L. Benford and M. B. Leising, The lever analogy, SAE 810102 (1981), from memory: on the lever of a
  // simple set the arm from carrier to sun is to that from carrier to ring as the teeth of the ring to those
  // of the sun.
  const Known five("ravigneaux-simple-five-speed");  // its rear set: sun 30, ring 90
  REQUIRE(five.diagram.levers.size() == 2);
  const double sun = five.PlaceOf(1, "rear.sun"), carrier = five.PlaceOf(1, "rear.carrier"),
               ring = five.PlaceOf(1, "rear.ring");
  CHECK(sun == Approx(0));
  CHECK((carrier - sun) / (ring - carrier) == Approx(90.0 / 30));
  // Of a Ravigneaux set (small sun 34, large sun 38, ring 98) each sun makes such a pair with the ring; the
  // small one, over two pinions, on the ring's side of the carrier.
  const double c = five.PlaceOf(0, "front.carrier"), r = five.PlaceOf(0, "front.ring");
  CHECK((five.PlaceOf(0, "front.large_sun") - c) / (c - r) == Approx(98.0 / 38));
  CHECK((c - five.PlaceOf(0, "front.small_sun")) / (c - r) == Approx(98.0 / 34));
}

TEST_CASE("two sets that share two shafts are one lever") {
  const Known three("simpson-three-speed");  // both sets: sun 33, ring 72
  REQUIRE(three.diagram.levers.size() == 1);
  CHECK(three.diagram.levers[0].nodes.size() == 4);
  CHECK(three.PlaceOf(0, "front.sun") == three.PlaceOf(0, "rear.sun"));
  CHECK(three.PlaceOf(0, "front.carrier") == three.PlaceOf(0, "rear.ring"));
  // Speeds of the output, by the handbook's formulas for a Simpson train: first 2 + S/R, second 1 + S/R,
  // reverse - R/S.
  const double output = three.PlaceOf(0, "front.carrier");
  CHECK(1 / three.Line(0, "D1").SpeedAt(output) == Approx(2 + 33.0 / 72));
  CHECK(1 / three.Line(0, "D2").SpeedAt(output) == Approx(1 + 33.0 / 72));
  CHECK(1 / three.Line(0, "D3").SpeedAt(output) == Approx(1));
  CHECK(1 / three.Line(0, "R").SpeedAt(output) == Approx(-72.0 / 33));
}

TEST_CASE("a set whose sun is held has one line in every range") {
  const Known six("lepelletier-six-speed");  // front: sun 37 held, ring 71 driven
  REQUIRE(six.diagram.levers.size() == 2);
  for (const RangeLines& range : six.diagram.ranges) {
    INFO(range.range);
    CHECK(range.lines.at(0)->SpeedAt(six.PlaceOf(0, "front.carrier")) == Approx(71.0 / 108));
    CHECK(range.lines.at(0)->SpeedAt(six.PlaceOf(0, "front.sun")) == Approx(0).margin(1e-12));
  }
}

TEST_CASE("in every range of every unit the speeds of all members lie on the lines") {
  for (const std::string name : {"simpson-three-speed", "ravigneaux-four-speed",
                                 "ravigneaux-simple-five-speed", "lepelletier-six-speed"}) {
    const Known known(name);
    int seen = 0;
    for (const RangeLines& range : known.diagram.ranges) {
      const DriveState& state = known.behaviour.FindRange(range.range)->driving;
      for (std::size_t i = 0; i < known.diagram.levers.size(); ++i) {
        if (!range.lines[i]) continue;
        for (const LeverNode& node : known.diagram.levers[i].nodes) {
          const auto speed = state.speed.find(node.members.front());
          if (speed == state.speed.end()) continue;
          INFO(name << " " << range.range << " " << node.members.front());
          CHECK(range.lines[i]->SpeedAt(node.place) == Approx(speed->second).margin(1e-9));
          if (node.output) CHECK(range.lines[i]->SpeedAt(node.place) == Approx(1 / state.ratio));
          ++seen;
        }
      }
    }
    CHECK(seen > 12);
    for (const Lever& lever : known.diagram.levers) {
      CHECK(lever.nodes.front().place == Approx(0).margin(1e-12));
      CHECK(lever.nodes.back().place == Approx(1));
    }
  }
}

TEST_CASE("a failure that drives at another ratio has that on the line") {
  const Known three("simpson-three-speed");
  const double output = three.PlaceOf(0, "front.carrier");
  REQUIRE_FALSE(three.diagram.failures.empty());
  bool found = false;
  for (const FailureLines& failure : three.diagram.failures) {
    if (failure.element != "A" || failure.range != "D2" || !failure.holds_nothing) continue;
    found = true;  // without the second band it falls back to first, on the one-way clutch
    CHECK(1 / failure.lines.at(0)->SpeedAt(output) == Approx(2 + 33.0 / 72));
  }
  CHECK(found);
}

}  // namespace
}  // namespace gearwhy
