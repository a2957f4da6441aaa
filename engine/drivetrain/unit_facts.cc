#include "engine/drivetrain/unit_facts.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/drivetrain/fact_collector.h"

namespace gearwhy {
namespace {

using Slots = FactCollector::Slots;

// Nine decimals: equal shares compare equal in rules, and every compiler writes the same digits.
double Rounded(double number) { return std::round(number * 1e9) / 1e9; }

void GiveElementsAndRanges(const Unit& unit, const UnitBehaviour& behaviour, FactCollector& facts) {
  for (const Element& element : unit.elements) {
    facts.GiveMember("element", element.name, element.place);
    facts.Give("element_type",
               {{"element", element.name}, {"type", std::string(ElementTypeName(element.type))}},
               element.place, false);
  }
  double order = 0;
  for (const Range& range : unit.ranges) {
    facts.GiveMember("range", range.name, range.place);
    facts.Give("range_order", {{"range", range.name}, {"order", ++order}}, range.place, false);
    for (const std::string& element : range.applied)
      facts.Give("applied", {{"element", element}, {"range", range.name}}, range.place, false);
    const RangeBehaviour& calculated = *behaviour.FindRange(range.name);
    const DriveState& driving = calculated.driving;
    if (driving.drive != Drive::kRatio) continue;
    facts.Give("ratio", {{"range", range.name}, {"ratio", Rounded(driving.ratio)}}, range.place, true);
    for (const std::string& element : driving.one_way_holding)
      facts.Give("applied", {{"element", element}, {"range", range.name}}, range.place, true);
    for (const auto& [element, share] : driving.torque)
      if (share > 0)
        facts.Give("carries", {{"element", element}, {"range", range.name}, {"share", Rounded(share)}},
                   range.place, true);
    if (calculated.coasting.drive == Drive::kNeutral)
      facts.Give("freewheels", {{"range", range.name}}, range.place, true);
    for (const std::string& element : calculated.coast_elements)
      facts.Give("coast_element", {{"element", element}, {"range", range.name}}, range.place, true);
  }
}

// What a failure makes of a range: no drive (`stops`), another range (`like`), or a ratio of its own
// (`at_ratio`). Nothing where the range drives as before, or was not driving and still is not.
void GiveFailure(const Unit& unit, const ElementFailure& failure, bool counts_as_stop, const char* stops,
                 const char* like, const char* at_ratio, FactCollector& facts) {
  const Place place = unit.FindRange(failure.range)->place;
  Slots slots = {{"element", failure.element}, {"range", failure.range}};
  if (counts_as_stop) {
    facts.Give(stops, slots, place, true);
  } else if (failure.acts_as && *failure.acts_as != failure.range) {
    slots.emplace_back("acts_as", *failure.acts_as);
    facts.Give(like, slots, place, true);
  } else if (failure.state.drive == Drive::kRatio && !failure.acts_as) {
    slots.emplace_back("ratio", Rounded(failure.state.ratio));
    facts.Give(at_ratio, slots, place, true);
  }
}

void GiveShifts(const Unit& unit, const UnitBehaviour& behaviour, FactCollector& facts) {
  for (std::size_t i = 0; i < unit.shifts.size(); ++i) {
    const Place& place = unit.shifts[i].place;
    const ShiftBehaviour& shift = behaviour.shifts[i];
    facts.Give("shift", {{"from", shift.from}, {"to", shift.to}}, place, false);
    for (const std::string& element : shift.comes_on)
      facts.Give("comes_on", {{"element", element}, {"from", shift.from}, {"to", shift.to}}, place, true);
    for (const std::string& element : shift.goes_off)
      facts.Give("goes_off", {{"element", element}, {"from", shift.from}, {"to", shift.to}}, place, true);
  }
}

bool HasPart(const Part& part, const std::string& variant) {
  return part.variants.empty() ||
         std::find(part.variants.begin(), part.variants.end(), variant) != part.variants.end();
}

std::set<std::string> AbsentParts(const Unit& unit, const std::string& variant) {
  std::set<std::string> absent;
  for (const Part& part : unit.parts)
    if (!HasPart(part, variant)) absent.insert(part.id);
  return absent;
}

bool SpeaksOf(const Statement& statement, const std::set<std::string>& parts, const Words& words) {
  const Word* word = words.Find(statement.name);
  for (std::size_t i = 0; i < statement.slots.size(); ++i) {
    const auto* name = std::get_if<std::string>(&statement.slots[i]);
    if (name != nullptr && word->slots[i].kind == "part" && parts.contains(*name)) return true;
  }
  return false;
}

// The part's count in the variant; 0: not counted.
int CountOf(const Part& part, const std::string& variant) {
  if (const auto all = part.count.find(""); all != part.count.end()) return all->second;
  const auto one = part.count.find(variant);
  return one == part.count.end() ? 0 : one->second;
}

void GiveParts(const Unit& unit, const std::string& variant, FactCollector& facts) {
  std::set<std::string> kinds;
  for (const Part& part : unit.parts) {
    if (!HasPart(part, variant)) continue;
    facts.GiveMember("part", part.id, part.place);
    if (kinds.insert(part.kind).second) facts.GiveMember("part_kind", part.kind, part.place);
    facts.GiveUnlessWalk("part", {{"part", part.id}, {"kind", part.kind}}, part.place);
    if (!part.element.empty())
      facts.Give("part_of", {{"part", part.id}, {"element", part.element}}, part.place, false);
    if (const int count = CountOf(part, variant); count > 0)
      facts.Give("plates", {{"part", part.id}, {"number", static_cast<double>(count)}}, part.place, false);
  }
}

}  // namespace

std::vector<GivenFact> UnitFacts(const Unit& unit, const std::string& variant, const UnitBehaviour& behaviour,
                                 const Words& words, Diagnostics& diagnostics) {
  FactCollector facts(words, diagnostics);
  GiveElementsAndRanges(unit, behaviour, facts);
  for (const ElementFailure& failure : behaviour.fails_to_hold)
    GiveFailure(unit, failure, failure.state.drive != Drive::kRatio, "needed", "falls_back",
                "falls_back_to_ratio", facts);
  for (const ElementFailure& failure : behaviour.fails_to_release)
    GiveFailure(unit, failure, failure.state.drive == Drive::kLocked, "binds", "acts_as", "acts_at_ratio",
                facts);
  GiveShifts(unit, behaviour, facts);
  GiveParts(unit, variant, facts);
  const std::set<std::string> absent = AbsentParts(unit, variant);
  for (std::size_t i = 0; i < unit.facts.size(); ++i)
    if (!SpeaksOf(unit.facts[i], absent, words)) facts.GiveStated(unit.facts[i], unit.fact_places[i]);
  if (const Variant* known = unit.FindVariant(variant)) {
    const std::string& name = known->version.empty() ? known->name : known->variant;
    if (!name.empty()) facts.Give("variant", {{"is", name}}, known->place, false);
    if (!known->version.empty()) facts.Give("version", {{"is", known->version}}, known->place, false);
    for (std::size_t i = 0; i < known->facts.size(); ++i)
      facts.GiveStated(known->facts[i], known->fact_places[i]);
  }
  return facts.Take();
}

}  // namespace gearwhy
