// Whether a case's `expect:` holds, and what is said where it does not.
#include "engine/study/expectations.h"

#include <cmath>

#include "engine/render/text.h"
#include "tests/support/dark_house.h"

namespace gearwhy {
namespace {

constexpr const char* kDark = "complaint: [{present: {dark: hall}}]\n";
constexpr const char* kMeasured = "measured: [{supply: {room: hall, is: 150 V}}]\n";

// The lines for one expectation of an old house. By hand, over the eight combinations of NoLight, no light in
// the hall makes the wire 0.644 and the fuse 0.371.
std::vector<std::string> Unmet(const std::string& expectation, const std::string& reported = kDark) {
  const DarkHouse house("history: [house_is_old]\n" + reported + "expect: [" + expectation + "]\n");
  std::vector<std::string> lines;
  for (const UnmetExpectation& unmet : UnmetExpectations(*house.diagnosis))
    lines.push_back(UnmetText(unmet, house.test.sources));
  return lines;
}

using Lines = std::vector<std::string>;

TEST_CASE("an expectation that is met is not spoken of") {
  CHECK(Unmet("{fault: {wire_broken: hall}}").empty());
  CHECK(Unmet("{fault: {wire_broken: hall}, at_least: 60%, at_most: 70%}").empty());
  CHECK(Unmet("{fault: fuse_blown, within: 2}").empty());
  CHECK(Unmet("{fault: {wire_broken: attic}, suspected: false}").empty());
  CHECK(Unmet("{fault: {wire_broken: attic}, suspected: false, at_most: 6%}").empty());
  CHECK(Unmet("{fault: {roots: hall}, suspected: false}").empty());
  CHECK(Unmet("{state: {no_current: hall}}").empty());
}

TEST_CASE("an expectation that is not met is told with its place, what was wanted and what came out") {
  CHECK(Unmet("{fault: {roots: hall}}") ==
        Lines{"house.yaml:5: roots:hall: expected, but this transmission cannot have it"});
  CHECK(Unmet("{fault: fuse_blown}") ==
        Lines{"house.yaml:5: fuse_blown: expected within the first 1, but it is number 2 (0.371)"});
  CHECK(Unmet("{fault: fuse_blown, suspected: false}") ==
        Lines{"house.yaml:5: fuse_blown: should not be suspected, but its chance is 0.371"});
  CHECK(Unmet("{fault: {wire_broken: hall}, at_least: 70%}") ==
        Lines{"house.yaml:5: wire_broken:hall: expected at least 0.700, but it is 0.644"});
  CHECK(Unmet("{fault: {wire_broken: hall}, at_most: 10%, reasons: [roots-grow]}") ==
        Lines{"house.yaml:5: wire_broken:hall: expected at most 0.100, but it is 0.644",
              "house.yaml:5: wire_broken:hall: `roots-grow` is not among its reasons"});
}

TEST_CASE("what is not as expected is data: which expectation, in what, and how it came out") {
  const DarkHouse house(
      "history: [house_is_old]\ncomplaint: [{present: {dark: hall}}]\n"
      "expect: [{fault: {wire_broken: hall}}, {fault: fuse_blown, at_least: 40%, reasons: [roots-grow]}]\n");
  const auto unmet = UnmetExpectations(*house.diagnosis);
  REQUIRE(unmet.size() == 3);
  using What = UnmetExpectation::What;
  const What whats[] = {What::kRank, What::kAtLeast, What::kReason};
  for (std::size_t i = 0; i < unmet.size(); ++i) {
    CHECK(unmet[i].expected == &house.c->expect[1]);
    CHECK(unmet[i].what == whats[i]);
    CHECK(unmet[i].rank == 2);
    CHECK(std::abs(unmet[i].chance - 0.3706445356184671) < 1e-9);
    CHECK(unmet[i].reason == (i == 2 ? "roots-grow" : ""));
  }
}

TEST_CASE("an entry is a reason by its chance, its chart, its rule or the report that a rule makes") {
  const auto is_reason = [](const std::string& id, const std::string& reported) {
    return Unmet("{fault: {wire_broken: hall}, reasons: [" + id + "]}", reported).empty();
  };
  for (const char* id : {"wires-break", "current", "light", "old-houses"}) {
    INFO(id);
    CHECK(is_reason(id, kDark));
  }
  for (const char* id : {"fuses-blow", "shades-blacken", "supply-too-low", "voltage"}) {
    INFO(id);
    CHECK_FALSE(is_reason(id, kDark));
  }
  for (const char* id : {"supply-too-low", "voltage"}) {
    INFO(id);
    CHECK(is_reason(id, kMeasured));
  }
  // What brings a state about is a reason for it, too.
  CHECK(Unmet("{state: {no_current: hall}, reasons: [old-houses, current, light]}").empty());
}

}  // namespace
}  // namespace gearwhy
