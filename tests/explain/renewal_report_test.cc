// What is worth renewing on shipped units, by the shipped rulebook and with a shop's prices.
#include "engine/explain/renewal_report.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/render/text.h"
#include "tests/support/catch.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

const char* const kUnit = "unit: simpson-three-speed\nvariant: light\n";

RenewalReport Of(ShippedBook& shipped, const std::string& rest) {
  const auto shown = DiagnoseText(shipped, "x", "case: x\ntitle: x\n" + rest);
  return MakeRenewalReport(*shown->diagnosis, DecideParts(*shown->diagnosis));
}

const PartRenewal* Find(const RenewalReport& report, const std::string& part) {
  const auto it = std::find_if(report.parts.begin(), report.parts.end(),
                               [&](const PartRenewal& one) { return one.part == part; });
  return it == report.parts.end() ? nullptr : &*it;
}

TEST_CASE("only what lies open is weighed, and not what work has renewed") {
  ShippedBook shipped;
  CHECK(Of(shipped, kUnit).parts.empty());
  const RenewalReport open = Of(shipped, std::string(kUnit) + "open: [packs_apart]\n");
  REQUIRE(Find(open, "B.piston"));
  CHECK(Find(open, "regulator_valve") == nullptr);
  CHECK(Find(open, "B.inner_seal") == nullptr);  // renewed whenever it is out
  const RenewalReport done =
      Of(shipped, std::string(kUnit) + "open: [packs_apart]\nwork:\n  - renewed: B.piston\n");
  CHECK(Find(done, "B.piston") == nullptr);
  CHECK(done.p_used < open.p_used);
}

// On the lift 10 minutes, out 180, opened 60, plates out 30, packs apart 30, and 120 for coming back at all.
TEST_CASE("coming back takes the whole way to the part, whatever lies open now") {
  ShippedBook shipped;
  const RenewalReport report = Of(shipped, std::string(kUnit) + "open: [packs_apart]\n");
  const PartRenewal& piston = *Find(report, "B.piston");
  CHECK(piston.come_back_minutes == 10 + 180 + 60 + 30 + 30 + 120);
  CHECK(piston.costs.renew == piston.minutes);
  CHECK_FALSE(piston.priced);
  CHECK_FALSE(report.prices_stated);
}

TEST_CASE("what has run long comes back more often, and what was renewed before not more than new") {
  ShippedBook shipped;
  const std::string open = std::string(kUnit) + "open: [packs_apart]\n";
  const std::string far = "history:\n  - distance: 240000 km\n";
  CHECK(Find(Of(shipped, open), "B.frictions")->age == PartAge::kSound);
  const RenewalReport used = Of(shipped, open + far);
  CHECK(Find(used, "B.frictions")->age == PartAge::kLongUsed);
  CHECK(Find(used, "B.frictions")->weighed.worth);
  CHECK_FALSE(Find(Of(shipped, open), "B.frictions")->weighed.worth);
  CHECK(used.p_as_advised < used.p_used);
  const RenewalReport renewed = Of(shipped, open + far + "  - renewed: B.frictions\n");
  CHECK(Find(renewed, "B.frictions")->age == PartAge::kAsNew);
  CHECK_FALSE(Find(renewed, "B.frictions")->weighed.worth);
}

TEST_CASE("what saves most stands first, and together they come back as often as any of them does") {
  ShippedBook shipped;
  const RenewalReport report =
      Of(shipped,
         std::string(kUnit) + "open: [packs_apart, valve_body_open]\nhistory:\n  - distance: 240000 km\n");
  REQUIRE(report.parts.size() > 20);
  double p_none = 1, p_none_advised = 1, saved = HUGE_VAL;
  for (const PartRenewal& one : report.parts) {
    const double saves =
        (one.weighed.if_used - one.weighed.if_renewed) / (one.costs.come_back + one.costs.renew);
    CHECK(saves <= saved);
    saved = saves;
    p_none *= 1 - one.p_as_is;
    p_none_advised *= 1 - (one.weighed.worth ? one.p_renewed : one.p_as_is);
  }
  CHECK(report.p_used == Approx(1 - p_none));
  CHECK(report.p_as_advised == Approx(1 - p_none_advised));
}

TEST_CASE("every part of every shipped unit that may be used again, and lies inside it, is weighed") {
  ShippedBook shipped;
  const std::set<std::string> outside = {
      "selective_ring", "cooler",       "cooler_line",       "range_sensor",
      "speed_sensor",   "load_sensor",  "throttle_cable",    "start_switch",
      "control_module", "filler_tube",  "speedometer_drive", "breather",
      "manual_valve",   "lever_detent", "extension_bushing", "converter_lining"};
  for (const char* unit : {"simpson-three-speed", "ravigneaux-four-speed", "ravigneaux-simple-five-speed",
                           "lepelletier-six-speed"}) {
    const auto shown =
        DiagnoseText(shipped, "x",
                     std::string("case: x\ntitle: x\nunit: ") + unit +
                         "\nvariant: light\nopen: [packs_apart, valve_body_open, converter_cut]\n");
    const std::vector<PartDecision> decisions = DecideParts(*shown->diagnosis);
    const RenewalReport report = MakeRenewalReport(*shown->diagnosis, decisions);
    for (const PartDecision& decision : decisions) {
      if (decision.verdict == Verdict::kReplace) continue;
      const std::string& kind = shown->diagnosis->unit->FindPart(decision.part)->kind;
      INFO(unit << " " << decision.part << " " << kind);
      CHECK((Find(report, decision.part) != nullptr) != outside.contains(kind));
    }
  }
}

// 5 plates of 12 and 10 minutes of an hour of 90 are 75; 430 minutes of it and a tow of 150 are 795.
TEST_CASE("prices of a shop count by the piece, and what has none is weighed by minutes alone") {
  ShippedBook shipped;
  const auto shown = DiagnoseText(
      shipped, "x",
      "case: x\ntitle: x\nunit: ravigneaux-simple-five-speed\nvariant: heavy\nopen: [packs_apart]\n");
  Rulebook priced = *shipped.book;
  priced.renewing.prices = Prices{90, 150, {{"frictions", {12, {}}}}, {}};
  shown->diagnosis->book = &priced;
  const std::vector<PartDecision> decisions = DecideParts(*shown->diagnosis);
  const RenewalReport report = MakeRenewalReport(*shown->diagnosis, decisions);
  CHECK(report.prices_stated);
  std::size_t checked = 0;
  for (const PartRenewal& one : report.parts) {
    const Part& part = *shown->diagnosis->unit->FindPart(one.part);
    CHECK(one.priced == (part.kind == "frictions"));
    if (!one.priced) continue;
    const int count = *part.CountIn("heavy");
    CHECK(one.costs.renew == Approx(10.0 / 60 * 90 + 12 * count));
    CHECK(one.costs.come_back == Approx(430.0 / 60 * 90 + 150));
    ++checked;
  }
  CHECK(checked >= 4);
  const Speaker speaker(*shown->diagnosis, shipped.sources);
  Page page({80, false});
  SayRenewals(report, true, speaker, page);
  CHECK_THAT(page.text(), ContainsSubstring("Of parts without a price minutes alone count"));
}

}  // namespace
}  // namespace gearwhy
