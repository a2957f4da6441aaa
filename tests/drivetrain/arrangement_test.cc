// Ratios and torques against handbook formulas and printed tables.
#include "engine/drivetrain/arrangement.h"

#include "tests/drivetrain/units.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

DriveState Drive(const Unit& unit, const std::string& range) {
  return Solve(unit, unit.FindRange(range)->applied, PowerFlow::kDriving);
}

TEST_CASE("a simple set has the ratio of Willis' formula in all six uses") {
  // R. Willis, Principles of Mechanism (1841); the six cases stand in any machine-design handbook.
  const double s = 30, r = 90;
  struct {
    const char *in, *out, *held;
    double ratio;
  } const uses[] = {
      {"sun", "carrier", "ring", 1 + r / s}, {"carrier", "sun", "ring", 1 / (1 + r / s)},
      {"ring", "carrier", "sun", 1 + s / r}, {"carrier", "ring", "sun", 1 / (1 + s / r)},
      {"sun", "ring", "carrier", -r / s},    {"ring", "sun", "carrier", -s / r},
  };
  for (const auto& use : uses) {
    INFO(use.in << " to " << use.out);
    const Unit unit = OneSet(SimpleSet("set", 30, 90), use.in, use.out, use.held);
    const DriveState state = Drive(unit, "D1");
    REQUIRE(state.drive == Drive::kRatio);
    CHECK(state.ratio == Approx(use.ratio).epsilon(1e-12));
    // The held member takes what is left of input and output torque: T_in + T_out + T_held = 0, T_out =
    // -ratio T_in.
    CHECK(state.torque.at("X") == Approx(std::abs(use.ratio - 1)).epsilon(1e-12));
  }
}

TEST_CASE("a dual-pinion set has the ratio of Willis' formula with the sign of the ring turned") {
  // Two planets in a row turn the ring the same way as the sun: basic ratio +r/s (any handbook of planetary
  // gears).
  const double s = 40, r = 80;
  struct {
    const char *in, *out, *held;
    double ratio;
  } const uses[] = {
      {"sun", "ring", "carrier", r / s},
      {"ring", "carrier", "sun", 1 - s / r},
      {"sun", "carrier", "ring", 1 - r / s},
  };
  for (const auto& use : uses) {
    INFO(use.in << " to " << use.out);
    const DriveState state = Drive(OneSet(DualPinionSet("set", 40, 80), use.in, use.out, use.held), "D1");
    REQUIRE(state.drive == Drive::kRatio);
    CHECK(state.ratio == Approx(use.ratio).epsilon(1e-12));
  }
}

TEST_CASE("a Ravigneaux set has its closed forms") {
  // Small sun and ring form a dual-pinion set, large sun and ring a simple one, on one carrier (closed forms
  // by Willis' formula).
  const double s1 = 34, s2 = 38, r = 98;
  struct {
    const char *in, *out, *held;
    double ratio;
  } const uses[] = {
      {"small_sun", "ring", "carrier", r / s1},
      {"large_sun", "ring", "carrier", -r / s2},
      {"small_sun", "ring", "large_sun", (r / s1) * (1 + s1 / s2) / (1 + r / s2)},
      {"carrier", "ring", "large_sun", r / (r + s2)},
      {"carrier", "ring", "small_sun", r / (r - s1)},
  };
  for (const auto& use : uses) {
    INFO(use.in << " held " << use.held);
    const DriveState state = Drive(OneSet(RavigneauxSet("set", 34, 38, 98), use.in, use.out, use.held), "D1");
    REQUIRE(state.drive == Drive::kRatio);
    CHECK(state.ratio == Approx(use.ratio).epsilon(1e-12));
  }
}

TEST_CASE("a Simpson set has its closed forms") {
  // 1st 2 + s/r, 2nd 1 + s/r, 3rd 1, reverse r/s: closed forms of the arrangement, from textbooks; tooth
  // counts from memory.
  const Unit unit = Simpson(33, 72);
  CHECK(Drive(unit, "D1").ratio == Approx(2.458).margin(5e-4));
  CHECK(Drive(unit, "D2").ratio == Approx(1.458).margin(5e-4));
  CHECK(Drive(unit, "D3").ratio == Approx(1));
  CHECK(Drive(unit, "M1").ratio == Approx(2 + 33.0 / 72));
  CHECK(Drive(unit, "R").ratio == Approx(-2.182).margin(5e-4));
  CHECK(Drive(unit, "D1").one_way_holding == std::vector<std::string>{"F"});
  CHECK(Drive(unit, "D2").one_way_holding.empty());
}

TEST_CASE("the Lepelletier arrangement has its printed ratios") {
  // Published tooth counts and ratios of that six-speed arrangement, from memory.
  const Unit unit = Lepelletier();
  const std::pair<const char*, double> printed[] = {{"D1", 4.171}, {"D2", 2.340}, {"D3", 1.521},
                                                    {"D4", 1.143}, {"D5", 0.867}, {"D6", 0.691},
                                                    {"R", -3.403}};
  for (const auto& [range, ratio] : printed) {
    INFO(range);
    CHECK(Drive(unit, range).ratio == Approx(ratio).margin(5e-4));
  }
}

TEST_CASE("the Lepelletier arrangement's elements carry the torque of the balance") {
  // Torque balance by hand on the same tooth counts (own derivation, three digits).
  const Unit unit = Lepelletier();
  CHECK(Drive(unit, "D1").torque.at("D") == Approx(2.650).margin(5e-4));
  CHECK(Drive(unit, "D2").torque.at("C") == Approx(0.819).margin(5e-4));
  CHECK(Drive(unit, "R").torque.at("D") == Approx(4.924).margin(5e-4));
  CHECK(Drive(unit, "D4").torque.at("E") == Approx(0.726).margin(5e-4));
  CHECK(Drive(unit, "D4").torque.at("A") == Approx(0.417).margin(5e-4));
}

TEST_CASE("a one-way clutch holds when the engine drives and overruns when the vehicle does") {
  const Unit unit = Simpson(33, 72);
  const DriveState driving = Solve(unit, {"C"}, PowerFlow::kDriving);
  CHECK(driving.drive == Drive::kRatio);
  CHECK(driving.speed.at("rear.carrier") == Approx(0).margin(1e-12));
  CHECK(Solve(unit, {"C"}, PowerFlow::kCoasting).drive == Drive::kNeutral);
  // With the brake beside it, the clutch idles and coasting works.
  const DriveState manual = Solve(unit, {"C", "L"}, PowerFlow::kDriving);
  CHECK(manual.one_way_holding.empty());
  CHECK(manual.torque.at("L") == Approx(driving.torque.at("F")));
  CHECK(Solve(unit, {"C", "L"}, PowerFlow::kCoasting).ratio == Approx(manual.ratio));
}

TEST_CASE("a one-way clutch the wrong way round lets the load run away") {
  Unit unit = Simpson(33, 72);
  std::swap(unit.elements.back().first, unit.elements.back().second);
  CHECK(Solve(unit, {"C"}, PowerFlow::kDriving).drive == Drive::kNeutral);
  // In second it would have to turn against its sense: the unit cannot turn.
  CHECK(Solve(unit, {"C", "B"}, PowerFlow::kDriving).drive == Drive::kLocked);
}

TEST_CASE("a one-way clutch may be broken or seized") {
  const Unit unit = Simpson(33, 72);
  CHECK(Solve(unit, {"C"}, PowerFlow::kDriving, {"F"}).drive == Drive::kNeutral);
  CHECK(Solve(unit, {"C", "B", "F"}, PowerFlow::kDriving).drive == Drive::kLocked);
  CHECK(Solve(unit, {"C", "F"}, PowerFlow::kCoasting).drive == Drive::kRatio);
}

TEST_CASE("redundant elements share the torque by the least norm") {
  const Unit unit = FiveSpeed();
  const DriveState direct = Solve(unit, {"A", "B", "C", "H"}, PowerFlow::kDriving);
  CHECK(direct.torque_shared);
  CHECK(direct.torque.at("A") + direct.torque.at("B") + direct.torque.at("C") == Approx(1));
  // A brake and a seized one-way clutch side by side carry half each.
  const DriveState twin = Solve(unit, {"A", "E", "F", "G"}, PowerFlow::kDriving);
  CHECK(twin.torque_shared);
  CHECK(twin.torque.at("E") == Approx(twin.torque.at("F")));
  CHECK_FALSE(Solve(unit, {"A", "E", "G"}, PowerFlow::kDriving).torque_shared);
}

TEST_CASE("ends that nothing connects are neutral") {
  Unit no_output = OneSet(SimpleSet("set", 30, 90), "sun", "carrier", "ring");
  no_output.joins.pop_back();
  CHECK(Solve(no_output, {"X"}, PowerFlow::kDriving).drive == Drive::kNeutral);
  Unit no_input = OneSet(SimpleSet("set", 30, 90), "sun", "carrier", "ring");
  no_input.joins.erase(no_input.joins.begin());
  CHECK(Solve(no_input, {"X"}, PowerFlow::kDriving).drive == Drive::kNeutral);
  CHECK(Solve(Unit{}, {}, PowerFlow::kDriving).drive == Drive::kNeutral);
}

TEST_CASE("ends fast to the case are locked, ends joined to each other are direct") {
  Unit held = OneSet(SimpleSet("set", 30, 90), "sun", "carrier", "ring");
  held.joins.push_back({"output", "case"});
  CHECK(Solve(held, {}, PowerFlow::kDriving).drive == Drive::kLocked);
  Unit straight;
  straight.joins = {{"input", "output"}};
  const DriveState state = Solve(straight, {}, PowerFlow::kDriving);
  CHECK(state.drive == Drive::kRatio);
  CHECK(state.ratio == Approx(1));
}

TEST_CASE("speeds are given at input speed one, and only where they are determined") {
  const DriveState state = Solve(FiveSpeed(), {"A", "D", "H"}, PowerFlow::kDriving);
  CHECK(state.speed.at("input") == Approx(1));
  CHECK(state.speed.at("output") == Approx(1 / state.ratio));
  CHECK(state.speed.at("front.large_sun") == Approx(0).margin(1e-12));
  CHECK(state.speed.at("case") == 0);
  Unit loose = OneSet(SimpleSet("set", 30, 90), "sun", "carrier", "ring");
  loose.gearsets.push_back(SimpleSet("loose", 20, 60));
  CHECK_FALSE(Solve(loose, {"X"}, PowerFlow::kDriving).speed.contains("loose.sun"));
}

}  // namespace
}  // namespace gearwhy
