// What elements have to spare, as facts of the transmission: laid beside the capacities themselves, and what
// rules make of them beside a plain walk over all ranges.
#include "engine/ground/capacities.h"

#include <algorithm>
#include <map>
#include <set>

#include "tests/support/catch.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

const char* const kUnits[] = {"simpson-three-speed", "ravigneaux-four-speed", "ravigneaux-simple-five-speed",
                              "lepelletier-six-speed"};

std::unique_ptr<ShippedCase> Empty(ShippedBook& shipped, const std::string& unit,
                                   const std::string& variant) {
  return DiagnoseText(shipped, "x", "case: x\ntitle: x\nunit: " + unit + "\nvariant: " + variant + "\n");
}

std::vector<ElementCapacity> Of(const CaseFacts& facts, const Diagnosis& diagnosis) {
  return Capacities(*diagnosis.unit, facts.transmission->variant, facts.transmission->known->behaviour,
                    {*diagnosis.book, *diagnosis.c, facts.store, facts.readings});
}

// The number of a fact about an element and a range, by these.
std::map<std::pair<std::string, std::string>, double> Numbers(const CaseFacts& facts, const char* name) {
  std::map<std::pair<std::string, std::string>, double> numbers;
  const Word& word = *facts.transmission->book->words.Find(name);
  for (const FactId fact : facts.store.Named(Sense::kFact, name)) {
    const auto slots = facts.store.Get(fact).statement.slots;
    const auto text = [&](const char* slot) {
      return std::get<std::string>(slots[At(word.SlotIndex(slot))]);
    };
    numbers[{text("element"), text("range")}] = std::get<double>(slots[At(word.SlotIndex("is"))]);
  }
  return numbers;
}

std::set<std::string> Ranges(const CaseFacts& facts, const char* name) {
  std::set<std::string> ranges;
  for (const FactId fact : facts.store.Named(Sense::kFact, name))
    ranges.insert(std::get<std::string>(facts.store.Get(fact).statement.slots[0]));
  return ranges;
}

TEST_CASE("what an element has to spare is a fact of the transmission, and names what went into it") {
  ShippedBook shipped;
  for (const char* unit : kUnits) {
    for (const char* variant : {"light", "heavy"}) {
      INFO(unit << " " << variant);
      const auto c = Empty(shipped, unit, variant);
      const CaseFacts& facts = c->diagnosis->Likeliest();
      const auto margins = Numbers(facts, "margin"), needed = Numbers(facts, "torque_needed"),
                 carried = Numbers(facts, "torque_carried");
      std::size_t count = 0;
      for (const ElementCapacity& capacity : Of(facts, *c->diagnosis)) {
        for (const CapacityInRange& in : capacity.ranges) {
          ++count;
          const std::pair key(capacity.element, in.range);
          REQUIRE(margins.contains(key));
          CHECK(margins.at(key) == Approx(in.margin()).epsilon(1e-4));
          CHECK(needed.at(key) == Approx(in.needs_nm).epsilon(1e-4));
          if (in.pressure_bar) CHECK(carried.at(key) == Approx(in.carries_nm).epsilon(1e-4));
        }
      }
      CHECK(margins.size() == count);
      for (const FactId fact : facts.store.Named(Sense::kFact, "margin")) {
        CHECK(fact < facts.store.base_size());  // made once, for all cases
        const FactSource& source = *facts.SourceOf(fact);
        CHECK(source.origin == FactOrigin::kCalculated);
        CHECK(source.from.size() == 2);  // what it carries or is rated at, and what falls on it
        for (const FactId from : source.from) CHECK(from < fact);
      }
    }
  }
}

TEST_CASE("a pressure that was read moves no fact of the transmission") {
  ShippedBook shipped;
  const auto with = DiagnoseText(shipped, "x",
                                 "case: x\ntitle: x\nunit: ravigneaux-four-speed\nvariant: light\n"
                                 "measured:\n  - line_pressure: {range: R, is: 5 bar}\n");
  const auto without = Empty(shipped, "ravigneaux-four-speed", "light");
  CHECK(Numbers(with->diagnosis->Likeliest(), "margin") ==
        Numbers(without->diagnosis->Likeliest(), "margin"));
}

// By a plain walk: the margin of a range is the least of its elements that pressure applies; within 5% of the
// least of all it is among the weakest, and from half as much again on it is far from it.
TEST_CASE("when pressure falls the ranges slip first in which least is left to spare") {
  ShippedBook shipped;
  for (const char* unit : kUnits) {
    for (const char* variant : {"light", "heavy"}) {
      INFO(unit << " " << variant);
      const auto c = Empty(shipped, unit, variant);
      const CaseFacts& facts = c->diagnosis->Likeliest();
      std::map<std::string, double> least;
      for (const auto& [key, margin] : Numbers(facts, "margin")) {
        if (c->diagnosis->unit->FindElement(key.first)->type == ElementType::kOneWayClutch) continue;
        const auto [it, is_new] = least.emplace(key.second, margin);
        it->second = std::min(it->second, margin);
      }
      double weakest = least.begin()->second;
      for (const auto& [range, margin] : least) weakest = std::min(weakest, margin);
      std::set<std::string> first, next, last;
      for (const auto& [range, margin] : least)
        (weakest >= 0.95 * margin ? first : weakest >= 0.67 * margin ? next : last).insert(range);
      CHECK(Ranges(facts, "slips_first") == first);
      CHECK(Ranges(facts, "slips_next") == next);
      CHECK(Ranges(facts, "slips_last") == last);
      CHECK_FALSE(first.empty());
    }
  }
}

TEST_CASE("where a unit gives no dimensions an element gives way first where most falls on it") {
  ShippedBook shipped;
  const auto whole = Empty(shipped, "ravigneaux-four-speed", "light");
  Unit unit = *whole->diagnosis->unit;
  unit.dimensions.clear();
  const Rulebook& book = *whole->diagnosis->book;
  const auto known = KnowUnit(unit, shipped.diagnostics);
  REQUIRE(known);
  const auto bare = MakeTransmission(book, &*known, "light", shipped.diagnostics);
  REQUIRE(bare);
  const auto pairs = [&](const char* name) {
    std::set<std::vector<Value>> all;
    for (const FactId fact : bare->facts->Named(Sense::kFact, name))
      all.insert(bare->facts->Get(fact).statement.slots);
    return all;
  };
  CHECK(pairs("margin").empty());
  CHECK_FALSE(pairs("gives_way_first").empty());
  CHECK(pairs("gives_way_first") == pairs("carries_most"));
  CHECK(pairs("gives_way_later") == pairs("carries_more_elsewhere"));
  CHECK(pairs("slips_next") == pairs("drive_range"));
  CHECK(pairs("slips_first").empty());
}

}  // namespace
}  // namespace gearwhy
