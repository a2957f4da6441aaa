// What programs go by stands beside each sentence.
#include "engine/render/json.h"

#include "tests/support/dark_house.h"

namespace gearwhy {
namespace {

// The reasons for the broken wire to the hall, on one line.
std::string WhyJsonOf(const std::string& lines) {
  const DarkHouse house("history: [house_is_old]\n" + lines);
  const WhyReport why = MakeWhyReport(*house.diagnosis, house.Event("wire_broken:hall"), {});
  return WhyJson(why, Speaker(*house.diagnosis, house.test.sources), -1);
}

TEST_CASE("beside how a report is known stand its trust and circumstances, or the rule that concluded it") {
  const std::string rain = WhyJsonOf("complaint: [{present: {dark: hall}, under: [wet]}]\n");
  CHECK_THAT(rain,
             ContainsSubstring(R"("trust":"certain, in the rain","trust_id":"certain","under":["wet"],)"));
  const std::string measured = WhyJsonOf("measured: [{supply: {room: hall, is: 150 V}}]\n");
  CHECK_THAT(measured, ContainsSubstring(R"("trust":"by the rule supply-too-low","rule":"supply-too-low",)"));
  CHECK_THAT(measured, !ContainsSubstring("trust_id"));
}

TEST_CASE("beside a fact as said stand its id, where it comes from and the rule that concluded it") {
  const std::string why = WhyJsonOf("complaint: [{present: {dark: hall}}]\n");
  CHECK_THAT(why, ContainsSubstring(R"({"fact":"old_wires:hall","says":"the wires of the hall are old",)"));
  CHECK_THAT(why, ContainsSubstring(R"~((rule old-houses)","origin":"rule","rule":"old-houses",)~"));
  CHECK_THAT(why, ContainsSubstring(R"({"fact":"house_is_old","says":"the house is old",)"));
  CHECK_THAT(why, ContainsSubstring(R"("origin":"case"}])"));
  CHECK_THAT(why, ContainsSubstring(R"("chance_id":"wires-break",)"));
}

TEST_CASE("beside a check as said stands its id, and nothing where there is no check") {
  const DarkHouse house("history: [house_is_old]\ncomplaint: [{present: {dark: hall}}]\n");
  const WhyReport why = MakeWhyReport(*house.diagnosis, house.Event("fuse_blown"), {});
  const std::string json = WhyJson(why, Speaker(*house.diagnosis, house.test.sources), -1);
  CHECK_THAT(json, ContainsSubstring(R"("check":"looking into the attic","check_id":"look-into"})"));
  CHECK_THAT(json, ContainsSubstring(R"("check":null,"check_id":null})"));
}

TEST_CASE("an account of places names each by kind and name, with its likeliest fault, and what is left") {
  const DarkHouse house("history: [house_is_old]\ncomplaint: [{present: {dark: hall}}]\n");
  const RankReport report = MakeRankReport(*house.diagnosis, nullptr, {});
  const std::string json = RankJson(report, {}, Speaker(*house.diagnosis, house.test.sources), -1);
  CHECK_THAT(json,
             ContainsSubstring(R"("accounts":[{"places":[{"kind":"fault","place":"wire_broken:hall",)"
                               R"("says":"the wire to the hall is broken","fault":"wire_broken:hall",)"));
  CHECK_THAT(json, ContainsSubstring(R"("alike":1}],"chance":)"));
  CHECK_THAT(json, ContainsSubstring(R"("accounts_rest":0.)"));
  CHECK_THAT(json, ContainsSubstring(R"("format":2)"));
}

}  // namespace
}  // namespace gearwhy
