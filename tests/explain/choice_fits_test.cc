#include "engine/explain/choice_fits.h"

#include <cmath>

#include "engine/files/load_unit.h"
#include "tests/support/catch.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

std::vector<ChoiceFit> Fits(ShippedBook& shipped, const std::string& unit, const std::string& measured) {
  const auto shown = DiagnoseText(shipped, "x",
                                  "case: x\ntitle: Slips\nunit: " + unit + "\nvariant: light\n" +
                                      (measured.empty() ? "" : "measured:\n" + measured));
  return ChoiceFitsOf(*shown->diagnosis);
}

std::string EndPlay(const std::string& is) { return "  - end_play: {is: " + is + "}\n"; }
std::string Washer(const std::string& is) {
  return "  - plate_thickness: {part: thrust_bearings, is: " + is + ", with: micrometer}\n";
}

// Five-speed: 0.3 to 0.8 mm is wanted, so 0.55 in the middle; washers of 1.20 to 2.00 mm in steps of 0.2.
TEST_CASE("a thicker washer takes its thickness from the end play") {
  ShippedBook shipped;
  const auto fits = Fits(shipped, "ravigneaux-simple-five-speed", EndPlay("1.15 mm") + Washer("1.20 mm"));
  REQUIRE(fits.size() == 1);
  const ChoiceFit& fit = fits.front();
  CHECK(fit.part == "thrust_bearings");
  REQUIRE(fit.take);
  CHECK(fit.take->ideal == Approx(1.15 + 1.20 - 0.55));
  CHECK(fit.take->best.ring == Approx(1.80));
  CHECK(fit.take->best.clearance == Approx(0.55));
  CHECK(fit.take->best.serves);
}

// By trying each: what every washer leaves, the play measured less what it is thicker.
TEST_CASE("no other washer at hand comes nearer the middle") {
  ShippedBook shipped;
  const auto& sizes = shipped.UnitNamed("ravigneaux-simple-five-speed").choices.front().sizes;
  for (const double play : {0.1, 0.42, 0.61, 0.9, 1.33, 2.6}) {
    const auto fits = Fits(shipped, "ravigneaux-simple-five-speed",
                           EndPlay(std::to_string(play) + " mm") + Washer("1.40 mm"));
    REQUIRE(fits.size() == 1);
    double nearest = 1e9;
    bool any_serves = false;
    for (const double size : sizes) {
      const double left = play + 1.40 - size;
      nearest = std::min(nearest, std::abs(left - 0.55));
      any_serves |= left >= 0.3 - 1e-6 && left <= 0.8 + 1e-6;
    }
    CHECK(std::abs(fits.front().take->best.clearance - 0.55) == Approx(nearest).margin(1e-9));
    CHECK(fits.front().take->best.serves == any_serves);
  }
}

TEST_CASE("without the washer that was in, or the play, nothing is chosen") {
  ShippedBook shipped;
  const auto fits = Fits(shipped, "ravigneaux-simple-five-speed", EndPlay("1.15 mm"));
  REQUIRE(fits.size() == 1);
  CHECK_FALSE(fits.front().take);
  CHECK(Fits(shipped, "ravigneaux-simple-five-speed", Washer("1.40 mm")).empty());
  CHECK(Fits(shipped, "ravigneaux-simple-five-speed", "").empty());
}

TEST_CASE("readings as built go before those as found, each with the washer of its time") {
  ShippedBook shipped;
  const std::string built =
      "  - end_play: {is: 0.95 mm, when: as_built}\n"
      "  - plate_thickness: {part: thrust_bearings, is: 1.60 mm, with: micrometer, when: as_built}\n";
  const auto fits =
      Fits(shipped, "ravigneaux-simple-five-speed", EndPlay("1.15 mm") + Washer("1.20 mm") + built);
  REQUIRE(fits.size() == 1);
  CHECK(fits.front().take->ideal == Approx(0.95 + 1.60 - 0.55));
}

// Three-speed, band A: 2.0 to 3.2 mm of travel is wanted, and a turn of the screw takes up its pitch of 1.5
// mm.
TEST_CASE("a screw is turned by the travel that is too much, over its pitch") {
  ShippedBook shipped;
  const auto fits = Fits(shipped, "simpson-three-speed", "  - band_clearance: {element: A, is: 4.1 mm}\n");
  REQUIRE(fits.size() == 1);
  CHECK(fits.front().part == "A.anchor");
  REQUIRE(fits.front().turns);
  CHECK(fits.front().turns->ideal == Approx((4.1 - 2.6) / 1.5));
  CHECK(fits.front().turns->least == Approx((4.1 - 3.2) / 1.5));
  CHECK(fits.front().turns->most == Approx((4.1 - 2.0) / 1.5));
  CHECK_FALSE(fits.front().turns->serves);
  const auto tight = Fits(shipped, "simpson-three-speed", "  - band_clearance: {element: A, is: 1.1 mm}\n");
  CHECK(tight.front().turns->ideal == Approx(-1.0));  // outward
}

}  // namespace
}  // namespace gearwhy
