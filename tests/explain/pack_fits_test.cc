#include "engine/explain/pack_fits.h"

#include "tests/support/catch.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

std::vector<PackFit> Fits(const std::string& measured, const std::string& variant = "light") {
  ShippedBook shipped;
  const auto shown = DiagnoseText(shipped, "x",
                                  "case: x\ntitle: Slips\nunit: simpson-three-speed\n" +
                                      (variant.empty() ? "" : "variant: " + variant + "\n") +
                                      (measured.empty() ? "" : "measured:\n" + measured));
  return PackFitsOf(*shown->diagnosis);
}

std::string Built(const std::string& part, const std::string& is) {
  return "  - plate_thickness: {part: " + part + ", " + is + ", with: micrometer, when: as_built}\n";
}

// Clutch B of the light variant: depth 15.95, three frictions of 2.00 and steels of 1.80, cushion 1.50;
// wanted are 1.0 to 1.7 mm.
TEST_CASE("nominal plates take the ring in the middle of the table") {
  const PackFit fit = Fits("").at(0);
  CHECK(fit.element == "B");
  CHECK(fit.take.ideal == Approx(15.95 - 3 * 2.00 - 3 * 1.80 - 1.50 - 1.35));
  CHECK(fit.take.best.serves);
  CHECK_FALSE(fit.measured);
  CHECK(fit.only_in.empty());
}

TEST_CASE("every pack of every shipped unit is served by a ring at hand") {
  ShippedBook shipped;
  for (const char* unit : {"simpson-three-speed", "ravigneaux-four-speed", "ravigneaux-simple-five-speed",
                           "lepelletier-six-speed"}) {
    for (const char* variant : {"light", "heavy"}) {
      const auto shown = DiagnoseText(
          shipped, "x", std::string("case: x\ntitle: Slips\nunit: ") + unit + "\nvariant: " + variant + "\n");
      const std::vector<PackFit> fits = PackFitsOf(*shown->diagnosis);
      CHECK(fits.size() >= 2);
      for (const PackFit& fit : fits) {
        INFO(unit << " " << variant << " " << fit.element);
        CHECK(fit.take.best.serves);
      }
    }
  }
}

TEST_CASE("what was measured as built takes the place of what the unit says, plate by plate") {
  const PackFit fit = Fits(Built("B.frictions", "places: {1: 1.95 mm, 2: 1.90 mm}")).at(0);
  CHECK(fit.measured);
  // The third friction was not measured.
  CHECK(fit.take.ideal == Approx(15.95 - (1.95 + 1.90 + 2.00) - 3 * 1.80 - 1.50 - 1.35));
  const PackFit all = Fits(Built("B.steels", "is: 1.70 mm")).at(0);
  CHECK(all.take.ideal == Approx(15.95 - 3 * 2.00 - 3 * 1.70 - 1.50 - 1.35));
}

TEST_CASE("where no ring serves, a plate more or less that would explain it is named") {
  // Thicker steels by a whole friction's worth: two less would be right.
  const PackFit fit = Fits(Built("B.steels", "is: 2.50 mm")).at(0);
  CHECK_FALSE(fit.take.best.serves);
  CHECK(fit.one_too_many == std::vector<std::string>{"B.frictions", "B.steels", "B.cushion_plate"});
  CHECK(fit.one_missing.empty());
}

TEST_CASE("the clearance measured with a ring in it corrects the ring") {
  const PackFit fit =
      Fits(Built("B.selective_ring", "is: 1.40 mm") +
           "  - pack_clearance: {element: B, is: 1.85 mm, with: dial_gauge, when: as_built}\n")
          .at(0);
  CHECK(fit.corrected);
  CHECK(fit.take.ideal == Approx(1.40 + 1.85 - 1.35));
}

TEST_CASE("where the variant is not known there is a ring for each") {
  const std::vector<PackFit> fits = Fits("", "");
  REQUIRE(fits.size() == 4);
  CHECK(fits[0].only_in.size() == 1);
  CHECK(fits[0].only_in != fits[1].only_in);
}

}  // namespace
}  // namespace gearwhy
