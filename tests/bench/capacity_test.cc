// Torque of packs and bands against handbook formulas and worked figures.
#include "engine/bench/capacity.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// Shigley, Mechanical Engineering Design, clutches, uniform wear: F = 2 π p ri (ro - ri), T = π μ p ri (ro² -
// ri²) N, p at the inner radius. The figures follow a published university exercise: friction 0.5, 1 N/mm²,
// bores of 140 and 200 mm across, two faces - from memory.
TEST_CASE("a plate clutch by uniform wear carries what the handbook's worked example says") {
  const double outer = 100, inner = 70, p = 1;
  const double force = 2 * std::numbers::pi * p * inner * (outer - inner);
  CHECK(force == Approx(13195).epsilon(1e-3));
  CHECK(TorqueByWear({2, outer, inner, 0.5}, force) == Approx(1122).epsilon(1e-3));
}

// The same: T = 2/3 π μ p (ro³ - ri³) N, F = π p (ro² - ri²).
TEST_CASE("a plate clutch by uniform pressure carries what the handbook's formula says") {
  const double outer = 90, inner = 55, p = 0.8, friction = 0.12;
  const double force = std::numbers::pi * p * (outer * outer - inner * inner);
  const double wanted =
      2.0 / 3.0 * std::numbers::pi * friction * p * (std::pow(outer, 3) - std::pow(inner, 3)) * 8 / 1000;
  CHECK(TorqueByPressure({8, outer, inner, friction}, force) == Approx(wanted));
}

// Euler and Eytelwein: T1 / T2 = e^μθ, T = (T1 - T2) r; the servo holds the slack end where the drum pulls
// the band tighter, else the tight end.
TEST_CASE("a band carries the difference of its two ends' pulls") {
  const LinedBand band = {75, 0.8, 0.15};
  const double ratio = std::exp(0.15 * 2 * std::numbers::pi * 0.8);
  CHECK(TorqueOfBand(band, 2000, true) == Approx((2000 * ratio - 2000) * 0.075));
  CHECK(TorqueOfBand(band, 2000, false) == Approx((2000 - 2000 / ratio) * 0.075));
  // One and the same servo: tighter by e^μθ, a factor of 2.1 to 2.2 with a usual wrap and friction.
  CHECK(TorqueOfBand(band, 2000, true) / TorqueOfBand(band, 2000, false) == Approx(ratio));
}

// Hydrostatics of a fluid that turns as one: p = ρ ω² (r² - r0²)/2. The closed form against adding it up over
// thin rings (Simpson's rule), and against a full disc from the axis, F = π ρ ω² R⁴/4.
TEST_CASE("what a turning fluid adds to a piston is its pressure, added up over the ring") {
  const double rpm = 3000, density = 850, omega = rpm * 2 * std::numbers::pi / 60;
  for (const double from : {0.0, 25.0, 35.0, 50.0}) {
    const double inner = std::max(35.0, from), outer = 70;
    const int rings = 200;
    double sum = 0;
    for (int i = 0; i <= 2 * rings; ++i) {
      const double r = (inner + (outer - inner) * i / (2 * rings)) / 1000;
      const double pressure = density * omega * omega * (r * r - from * from / 1e6) / 2;
      const double weight = i == 0 || i == 2 * rings ? 1 : i % 2 == 1 ? 4 : 2;
      sum += weight * pressure * 2 * std::numbers::pi * r;
    }
    const double wanted = sum * (outer - inner) / 1000 / (2 * rings) / 3;
    CHECK(HeadForce(rpm, outer, 35, from) == Approx(wanted).epsilon(1e-9));
  }
  CHECK(HeadForce(rpm, 70, 0, 0) ==
        Approx(std::numbers::pi * density * omega * omega * std::pow(0.07, 4) / 4));
  CHECK(HeadForce(rpm, 70, 35, 70) == 0);
  CHECK(HeadForce(2 * rpm, 70, 35, 25) == Approx(4 * HeadForce(rpm, 70, 35, 25)));
}

TEST_CASE("capacity grows with faces and pressure, and is nothing below what the spring takes") {
  double before = -1;
  for (const int faces : {0, 2, 4, 6}) {
    const double torque = TorqueByWear({faces, 80, 60, 0.13}, 5000);
    CHECK(torque > before);
    CHECK(TorqueByPressure({faces, 80, 60, 0.13}, 5000) >= torque);
    before = torque;
  }
  CHECK(PistonForce(1, 20, 0, 1000) == 0);
  CHECK(PistonForce(10, 80, 40, 600) == Approx(std::numbers::pi * (6400 - 1600) - 600));
  CHECK(PistonForce(10, 80, 40, 600) > PistonForce(9, 80, 40, 600));
}

}  // namespace
}  // namespace gearwhy
