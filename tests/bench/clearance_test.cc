#include "engine/bench/clearance.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// By hand: 20.00 - 3 × 2.00 - 3 × 1.80 - 1.50 = 7.10 before a ring.
PackToFit ByHand() {
  PackToFit pack;
  pack.depth = {20.00, 0.10};
  for (int i = 0; i < 3; ++i) pack.plates.push_back({2.00, 0.05});
  for (int i = 0; i < 3; ++i) pack.plates.push_back({1.80, 0.03});
  pack.plates.push_back({1.50, 0.05});
  pack.rings = {5.40, 5.60, 5.80, 6.00, 6.20};
  pack.ring_tolerance = 0.03;
  pack.least = 1.0;
  pack.most = 1.6;
  return pack;
}

// What a ring leaves, when it is the only one at hand.
Fit FitOf(PackToFit pack, double ring) {
  pack.rings = {ring};
  return ChooseRing(pack).best;
}

TEST_CASE("a clearance is the depth less plates and ring, its doubt the root of the sum of squares") {
  const Fit fit = FitOf(ByHand(), 5.80);
  CHECK(fit.clearance == Approx(1.30));
  CHECK(fit.doubt == Approx(std::sqrt(0.01 + 3 * 0.0025 + 3 * 0.0009 + 0.0025 + 0.0009)));
  CHECK(fit.worst == Approx(0.10 + 3 * 0.05 + 3 * 0.03 + 0.05 + 0.03));
  CHECK(fit.serves);
  CHECK(fit.sure);
  CHECK_FALSE(FitOf(ByHand(), 6.20).serves);
  CHECK(FitOf(ByHand(), 6.10).serves);  // on the limit itself
  CHECK_FALSE(FitOf(ByHand(), 6.10).sure);
}

TEST_CASE(
    "the ring is the one that leaves the clearance nearest the middle; of two the tighter, and both are "
    "named") {
  const RingToTake take = ChooseRing(ByHand());
  CHECK(take.ideal == Approx(5.80));
  CHECK(take.best.ring == 5.80);
  CHECK_FALSE(take.as_near);
  PackToFit between = ByHand();
  between.rings = {5.40, 5.70, 5.90, 6.20};
  const RingToTake two = ChooseRing(between);
  CHECK(two.best.ring == 5.90);
  REQUIRE(two.as_near);
  CHECK(two.as_near->ring == 5.70);
}

TEST_CASE("no other ring at hand leaves a clearance nearer the middle") {
  std::mt19937 random(20261128);
  std::uniform_real_distribution<double> plate(1.5, 2.5), depth(12, 22);
  for (int i = 0; i < 500; ++i) {
    PackToFit pack = ByHand();
    pack.depth.is = depth(random);
    for (Thickness& one : pack.plates) one.is = std::round(plate(random) * 100) / 100;
    const RingToTake take = ChooseRing(pack);
    const double middle = (pack.least + pack.most) / 2;
    for (const double ring : pack.rings)
      CHECK(std::abs(take.best.clearance - middle) <= std::abs(FitOf(pack, ring).clearance - middle) + 1e-6);
  }
}

TEST_CASE("packs drawn within their tolerances scatter as the root of the sum of squares says") {
  // Each tolerance taken as two standard deviations: 95 in 100 of the packs lie within the doubt.
  std::mt19937 random(7);
  const PackToFit pack = ByHand();
  const Fit fit = FitOf(pack, 5.80);
  int within = 0;
  constexpr int kPacks = 20000;
  for (int i = 0; i < kPacks; ++i) {
    const auto draw = [&](double is, double tolerance) {
      return std::normal_distribution<double>(is, tolerance / 2)(random);
    };
    double clearance = draw(pack.depth.is, pack.depth.tolerance) - draw(5.80, pack.ring_tolerance);
    for (const Thickness& plate : pack.plates) clearance -= draw(plate.is, plate.tolerance);
    within += std::abs(clearance - fit.clearance) <= fit.doubt;
  }
  CHECK(within / double{kPacks} == Approx(0.954).margin(0.006));
}

TEST_CASE("a clearance measured with a ring in it corrects the ring by what it is off") {
  // With 5.60 in it 1.65 is measured, and 1.30 is the middle: 0.35 more is right.
  const RingToTake take = CorrectRing(ByHand(), 5.60, {1.65, 0.04});
  CHECK(take.ideal == Approx(5.95));
  CHECK(take.best.ring == 6.00);
  CHECK(take.best.clearance == Approx(1.25));
  CHECK(take.best.doubt == Approx(0.05));
}

// The travel that is taken up is turns times what a turn takes up; by trying, in steps of a hundredth of a
// turn, none leaves it nearer the middle, and those between the ends are within.
TEST_CASE("a screw is turned to the middle of the limits, and between its ends they are kept") {
  for (const double clearance : {0.4, 1.6, 2.0, 2.7, 5.3}) {
    const double per_turn = 1.25, least = 1.6, most = 2.4;
    const ScrewTurns turns = TurnScrew({clearance, 0.1}, per_turn, least, most);
    CHECK(turns.serves == (clearance >= least && clearance <= most));
    CHECK(turns.doubt == Approx(0.1 / per_turn));
    const double left = clearance - turns.ideal * per_turn;
    for (int i = -500; i <= 500; ++i) {
      const double turn = i / 100.0, leaves = clearance - turn * per_turn;
      CHECK(std::abs(left - 2.0) <= std::abs(leaves - 2.0) + 1e-9);
      const bool inside = turn > turns.least + 1e-9 && turn < turns.most - 1e-9;
      if (inside) CHECK((leaves > least - 1e-6 && leaves < most + 1e-6));
      if (turn < turns.least - 1e-9 || turn > turns.most + 1e-9) CHECK((leaves < least || leaves > most));
    }
  }
}

}  // namespace
}  // namespace gearwhy
