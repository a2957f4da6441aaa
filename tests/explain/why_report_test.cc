// The reasoning behind a suspect, as data, against Bayes' theorem by hand.
#include "engine/explain/why_report.h"

#include <cmath>
#include <functional>

#include "tests/support/dark_house.h"

namespace gearwhy {
namespace {

constexpr const char* kOldAndDark = "history: [house_is_old]\ncomplaint: [{present: {dark: hall}}]\n";

bool Near(double a, double b) { return std::abs(a - b) < 1e-9; }

WhyReport Why(const DarkHouse& house, const std::string& id) {
  return MakeWhyReport(*house.diagnosis, house.Event(id), {});
}

// Whether it stands in the line of the book that holds this text, and is the entry of that id.
bool Stands(const Origin& origin, Origin::Kind kind, const std::string& id, const DarkHouse& house,
            const std::string& text) {
  const auto line = house.test.sources.Line(origin.place.source, origin.place.line);
  return origin.kind == kind && origin.id == id && line.find(text) != std::string_view::npos;
}

WhyNotReport WhyNotOf(const DarkHouse& house, const Statement& fault) {
  return MakeWhyNotReport(*house.diagnosis, fault, {});
}

// The sum of the chances of all states of wire, shade and fuse of one room, weighted.
double Sum(const std::function<double(bool, bool, bool)>& weight) {
  double sum = 0;
  for (int i = 0; i < 8; ++i) {
    const bool wire = i & 1, shade = i & 2, fuse = i & 4;
    sum += (wire ? kWire : 1 - kWire) * (shade ? kShade : 1 - kShade) * (fuse ? kFuse : 1 - kFuse) *
           weight(wire, shade, fuse);
  }
  return sum;
}

TEST_CASE("a suspect's chance, what it was before, and the factor of the one report are Bayes' theorem") {
  const DarkHouse house(kOldAndDark);
  const WhyReport why = Why(house, "wire_broken:hall");
  const double dark = Sum(NoLight);
  const double with = Sum([](bool wire, bool s, bool f) { return wire ? NoLight(true, s, f) : 0; });
  CHECK(why.suspect.fault == "wire_broken:hall");
  CHECK(why.suspect.mode == "wire_broken");
  CHECK(why.suspect.role == Role::kRoot);
  CHECK(why.rank == 1);
  CHECK(Near(why.suspect.chance, with / dark));
  CHECK(Near(why.suspect.before, kWire));
  REQUIRE(why.speaks_for.size() == 1);
  CHECK(why.speaks_against.empty());
  const double odds = with / (dark - with);
  CHECK(Near(why.speaks_for[0].evidence.odds_factor, odds / (kWire / (1 - kWire))));
}

TEST_CASE("the chain leads from the suspect to what was reported, line by line of the charts") {
  const DarkHouse house(kOldAndDark);
  const WhyReport why = Why(house, "wire_broken:hall");
  REQUIRE(why.speaks_for.size() == 1);
  const ReasonChain& chain = why.speaks_for[0];
  CHECK(chain.direct);
  CHECK(chain.evidence.event == "dark:hall");
  CHECK(chain.evidence.statement == Statement{"dark", {"hall"}});
  CHECK(chain.evidence.present);
  CHECK(Stands(chain.evidence.origin, Origin::Kind::kCase, "certain", house, "complaint:"));
  REQUIRE(chain.steps.size() == 2);
  CHECK(chain.steps[0].cause == "wire_broken:hall");
  CHECK(chain.steps[0].effect == "no_current:hall");
  CHECK(chain.steps[0].how_often == 0.9);
  CHECK(Stands(chain.steps[0].origin, Origin::Kind::kChart, "current", house,
               "wire_broken: $r}, how_often: 90%"));
  REQUIRE(chain.steps[0].because.text != nullptr);
  CHECK(*chain.steps[0].because.text == "Old wires of {r} part at both ends.");
  CHECK(chain.steps[0].because.bindings == Bindings{{"r", "hall"}});
  CHECK(chain.steps[0].because.variables->at("r") == "room");
  CHECK(chain.steps[1].cause == "no_current:hall");
  CHECK(chain.steps[1].effect == "dark:hall");
  CHECK(chain.steps[1].how_often == 0.8);
  CHECK(chain.steps[1].because.IsEmpty());
  CHECK(chain.steps[1].chance_effect == 1);
}

TEST_CASE("a step rests on facts, each with how it is known down to what was given, and shown once") {
  const DarkHouse house(kOldAndDark);
  const WhyReport why = Why(house, "wire_broken:hall");
  REQUIRE(why.base);
  CHECK(Near(why.base->base, 0.02));
  CHECK(Near(why.base->with_history, kWire));
  CHECK(Stands(why.base->origin, Origin::Kind::kChance, "wires-break", house, "id: wires-break"));
  REQUIRE(why.base->moved.size() == 1);
  CHECK(Stands(why.base->moved[0].origin, Origin::Kind::kFactor, "brittle", house, "id: brittle"));
  CHECK(why.base->moved[0].odds == 3);
  REQUIRE(why.base->moved[0].facts.size() == 1);
  const FactReason& old_wires = why.base->moved[0].facts[0];
  CHECK(old_wires.statement == Statement{"old_wires", {"hall"}});
  CHECK(Stands(old_wires.origin, Origin::Kind::kRule, "old-houses", house, "id: old-houses"));
  CHECK(*old_wires.because.text == "Nobody has drawn new ones to {r}.");
  CHECK_FALSE(old_wires.shown_before);
  // That the hall is a room says nothing that a reader misses.
  REQUIRE(old_wires.premises.size() == 1);
  CHECK(old_wires.premises[0].statement == Statement{"house_is_old", {}});
  CHECK(Stands(old_wires.premises[0].origin, Origin::Kind::kCase, "", house, "history:"));
  CHECK(old_wires.premises[0].premises.empty());
  REQUIRE(why.speaks_for[0].steps[0].facts.size() == 1);
  const FactReason& again = why.speaks_for[0].steps[0].facts[0];
  CHECK(again.shown_before);
  CHECK(again.premises.empty());
}

TEST_CASE("a chart's line that asks for a fact the case lacks is no way from the suspect to the report") {
  const DarkHouse house("complaint: [{present: {dark: hall}}]\n");
  const WhyReport why = Why(house, "wire_broken:hall");
  CHECK(why.speaks_for.empty());
  CHECK(Near(why.suspect.chance, 0.02));
}

TEST_CASE("what brings a state about comes likeliest first") {
  const DarkHouse house(kOldAndDark);
  const WhyReport why = Why(house, "no_current:hall");
  CHECK_FALSE(why.base);
  REQUIRE(why.brought_about_by.size() == 2);
  CHECK(why.brought_about_by[0].cause == "wire_broken:hall");
  CHECK(why.brought_about_by[1].cause == "fuse_blown");
}

TEST_CASE("what a suspect predicts of what nobody has looked at is its chance with it and without it") {
  const DarkHouse house(kOldAndDark);
  const WhyReport why = Why(house, "fuse_blown");
  // The wires and shades of the other room are as before, given the fuse.
  const double so = Sum([](bool w, bool s, bool f) { return f ? NoLight(w, s, true) : 0; }) / kFuse;
  const double not_so =
      Sum([](bool w, bool s, bool f) { return f ? 0 : NoLight(w, s, false); }) / (1 - kFuse);
  REQUIRE(why.predicts.size() == 2);
  CHECK(why.predicts[0].event == "dark:attic");
  CHECK(Near(why.predicts[0].chance_if_so, so));
  CHECK(Near(why.predicts[0].chance_if_not, not_so));
  CHECK(why.predicts[0].check == "look-into");
  CHECK(*why.predicts[0].check_says.text == "looking into {r}");
  CHECK(why.predicts[0].check_says.bindings == Bindings{{"r", "attic"}});
  CHECK(why.predicts[1].event == "voltage_low:attic");
  CHECK(why.predicts[1].check.empty());
  CHECK(why.predicts[1].check_says.IsEmpty());
  CHECK(Near(why.predicts[1].chance_if_so, 1 - 0.9 * 0.3));
}

TEST_CASE(
    "a report that the suspect does not bring about speaks for it by a rival, and no chain leads there") {
  const DarkHouse house(std::string(kOldAndDark) + "observed: [{absent: {dark: attic}}]\n");
  const WhyReport why = Why(house, "wire_broken:hall");
  // A light in the attic speaks against the fuse.
  REQUIRE(why.speaks_for.size() == 2);
  CHECK(why.speaks_for[1].evidence.event == "dark:attic");
  CHECK_FALSE(why.speaks_for[1].evidence.present);
  CHECK_FALSE(why.speaks_for[1].direct);
  CHECK(why.speaks_for[1].steps.empty());
}

TEST_CASE("a report says how it is known: by whom and under what, or by which rule") {
  const DarkHouse rain("history: [house_is_old]\ncomplaint: [{present: {dark: hall}, under: [wet]}]\n");
  const Origin seen = Why(rain, "wire_broken:hall").speaks_for.at(0).evidence.origin;
  CHECK(seen.kind == Origin::Kind::kCase);
  CHECK(seen.id == "certain");
  CHECK(seen.under == std::vector<std::string>{"wet"});

  const DarkHouse measured("history: [house_is_old]\nmeasured: [{supply: {room: hall, is: 150 V}}]\n");
  const ReasonChain chain = Why(measured, "wire_broken:hall").speaks_for.at(0);
  CHECK(chain.evidence.event == "voltage_low:hall");
  CHECK(Stands(chain.evidence.origin, Origin::Kind::kRule, "supply-too-low", measured, "id: supply-too-low"));
  CHECK(chain.evidence.origin.under.empty());
}

TEST_CASE("what cannot be here is told by how far each line that could give it a chance came") {
  const DarkHouse house(kOldAndDark);
  const WhyNotReport not_here = WhyNotOf(house, {"roots", {"hall"}});
  CHECK(not_here.kind == WhyNotReport::Kind::kNotHere);
  CHECK(not_here.fault == "roots:hall");
  CHECK(not_here.rank == 0);
  REQUIRE(not_here.failed.size() == 1);
  CHECK(Stands(not_here.failed[0].origin, Origin::Kind::kChance, "roots-grow", house, "id: roots-grow"));
  CHECK(not_here.failed[0].conditions_met == 1);
  CHECK(not_here.failed[0].condition->pattern.name == "garden");
  CHECK(not_here.failed[0].bindings == Bindings{{"r", "hall"}});
}

TEST_CASE("why a fault is not suspected: untouched, spoken against, outweighed, or suspected after all") {
  const DarkHouse house(kOldAndDark);
  CHECK(WhyNotOf(house, {"wire_broken", {"hall"}}).kind == WhyNotReport::Kind::kSuspected);

  const WhyNotReport untouched = WhyNotOf(house, {"wire_broken", {"attic"}});
  CHECK(untouched.kind == WhyNotReport::Kind::kNotTouched);
  CHECK(Near(untouched.chance, kWire));

  const WhyNotReport outweighed = WhyNotOf(house, {"shade_black", {"hall"}});
  CHECK(outweighed.kind == WhyNotReport::Kind::kOutweighed);
  // Behind the two likelier ones that bring the dark about; what nothing speaks for does not count.
  CHECK(outweighed.rank == 3);
  CHECK(outweighed.chance > outweighed.before);
  CHECK(Near(outweighed.before, kShade));
  CHECK(outweighed.better ==
        std::vector<Statement>{{"wire_broken", {"hall"}}, {"fuse_blown", {}}, {"wire_broken", {"attic"}}});
  REQUIRE(outweighed.speaks_for.size() == 1);
  CHECK(outweighed.speaks_for[0].event == "dark:hall");

  const DarkHouse light("history: [house_is_old]\nobserved: [{absent: {dark: attic}}]\n");
  const WhyNotReport against = WhyNotOf(light, {"wire_broken", {"attic"}});
  CHECK(against.kind == WhyNotReport::Kind::kSpokenAgainst);
  REQUIRE(against.speaks_against.size() == 1);
  const double lit = 1 - Sum(NoLight);
  const double with = Sum([](bool w, bool s, bool f) { return w ? 1 - NoLight(true, s, f) : 0; });
  CHECK(Near(against.chance, with / lit));
  CHECK(Near(against.speaks_against[0].odds_factor, with / (lit - with) / (kWire / (1 - kWire))));
}

}  // namespace
}  // namespace gearwhy
