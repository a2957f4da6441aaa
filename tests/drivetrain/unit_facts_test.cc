// The facts a unit gives, and declarations that do not fit.
#include "engine/drivetrain/unit_facts.h"

#include <algorithm>
#include <set>

#include "engine/files/load_unit.h"
#include "engine/files/load_words.h"
#include "engine/text/read_file.h"
#include "tests/drivetrain/units.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

constexpr const char* kWords = R"(
kinds:
  element: {from: unit}
  range: {from: unit}
  part: {from: unit}
  part_kind: {from: unit}
  variant: {from: unit}
  sort: {values: {clutch: clutch, brake: brake, band: band, one_way_clutch: one-way clutch}}
facts:
  element_type: {slots: {type: sort, element: element}, says: "{element} is a {type}"}
  range_order: {slots: {range: range, order: number}, says: s}
  applied: {slots: {element: element, range: range}, says: s}
  ratio: {slots: {range: range, ratio: number}, says: s}
  carries: {slots: {element: element, range: range, share: number}, says: s}
  needed: {slots: {element: element, range: range}, says: s}
  falls_back: {slots: {element: element, range: range, acts_as: range}, says: s}
  falls_back_to_ratio: {slots: {element: element, range: range, ratio: number}, says: s}
  binds: {slots: {element: element, range: range}, says: s}
  acts_as: {slots: {element: element, range: range, acts_as: range}, says: s}
  acts_at_ratio: {slots: {element: element, range: range, ratio: number}, says: s}
  freewheels: {slots: {range: range}, says: s}
  coast_element: {slots: {element: element, range: range}, says: s}
  shift: {slots: {from: range, to: range}, says: s}
  comes_on: {slots: {element: element, from: range, to: range}, says: s}
  goes_off: {slots: {element: element, from: range, to: range}, says: s}
  part_of: {slots: {part: part, element: element}, says: s}
  plates: {slots: {part: part, number: number}, says: s}
  lips: {slots: {part: part, number: number}, says: s}
)";

struct Book {
  Sources sources;
  Diagnostics diagnostics;
  Words words;
};

void LoadBook(const std::string& text, Book& book) {
  const auto root = ParseYaml(book.sources, book.sources.Add("words.yaml", text), book.diagnostics);
  REQUIRE(root);
  std::vector<Fields> files = {Fields(*root, "a file", book.diagnostics)};
  book.words = LoadWords(files, book.diagnostics);
  INFO(RenderDiagnostics(book.diagnostics, book.sources));
  REQUIRE_FALSE(book.diagnostics.HasErrors());
}

std::set<std::string> Ids(const std::vector<GivenFact>& facts) {
  std::set<std::string> ids;
  for (const GivenFact& fact : facts) ids.insert(StatementId(fact.statement));
  return ids;
}

Unit FiveSpeedWithParts() {
  Unit unit = FiveSpeed();
  unit.variants = {{"light", "light", {}, {}, {}},
                   {"heavy", "heavy", {{"lips", {"A.piston", 2.0}}}, {Place{}}, {}}};
  unit.parts = {{"A.piston", "moulded_piston", "the piston", "A", {}, {}, {}},
                {"A.frictions", "frictions", "the frictions", "A", {{"light", 4}, {"heavy", 5}}, {}, {}},
                {"A.rings", "feed_rings", "the rings", "A", {{"", 2}}, {}, {}},
                {"extra", "cooler", "the second cooler", "", {}, {"heavy"}, {}}};
  unit.facts = {{"lips", {"extra", 1.0}}};
  unit.fact_places = {Place{}};
  return unit;
}

TEST_CASE("a unit's calculation is given as facts") {
  Book book;
  LoadBook(kWords, book);
  const Unit unit = FiveSpeedWithParts();
  const auto facts = UnitFacts(unit, "", Analyse(unit), book.words, book.diagnostics);
  REQUIRE_FALSE(book.diagnostics.HasErrors());
  const std::set<std::string> ids = Ids(facts);
  // Slots stand in the order in which the words declare them.
  for (const char* expected : {"element:A",
                               "range:N",
                               "element_type:one_way_clutch:F",
                               "range_order:D1:1",
                               "range_order:N:9",
                               "applied:A:D1",
                               "applied:F:D1",
                               "applied:J:D2",
                               "carries:A:D1:1",
                               "carries:A:D2:1",
                               "carries:A:D3:1",
                               "needed:A:D1",
                               "needed:F:D1",
                               "needed:C:R",
                               "falls_back:D:D2:D1",
                               "falls_back:H:D3:D2",
                               "binds:D:D4",
                               "binds:F:D2",
                               "acts_as:H:D2:D3",
                               "acts_as:A:N:D1",
                               "freewheels:D1",
                               "freewheels:D2",
                               "coast_element:E:M1",
                               "coast_element:G:M2",
                               "shift:D1:D2",
                               "comes_on:D:D1:D2",
                               "goes_off:D:D3:D4"}) {
    INFO(expected);
    CHECK(ids.contains(expected));
  }
  for (const char* wrong :
       {"needed:D:D2", "needed:G:M2", "falls_back:G:M2:M2", "falls_back:G:M2:D2", "freewheels:D3",
        "freewheels:N", "applied:F:D2", "acts_as:E:D1:D1", "binds:A:N", "needed:A:N", "variant:light"}) {
    INFO(wrong);
    CHECK_FALSE(ids.contains(wrong));
  }
  const auto has = [&](const std::string& start) {
    return std::any_of(ids.begin(), ids.end(), [&](const std::string& id) { return id.starts_with(start); });
  };
  CHECK(has("falls_back_to_ratio:H:D5:0.96"));
  CHECK(has("acts_at_ratio:H:D1:2.88"));
  CHECK(has("ratio:R:-3.43"));
  CHECK_FALSE(has("ratio:N"));
}

TEST_CASE("parts, counts and stated facts follow the variant") {
  Book book;
  LoadBook(kWords, book);
  const Unit unit = FiveSpeedWithParts();
  const UnitBehaviour behaviour = Analyse(unit);
  const auto ids_of = [&](const std::string& variant) {
    return Ids(UnitFacts(unit, variant, behaviour, book.words, book.diagnostics));
  };
  const auto light = ids_of("light"), heavy = ids_of("heavy");
  CHECK(light.contains("plates:A.frictions:4"));
  CHECK(heavy.contains("plates:A.frictions:5"));
  CHECK_FALSE(light.contains("plates:A.frictions:5"));
  CHECK(light.contains("plates:A.rings:2"));
  CHECK(heavy.contains("plates:A.rings:2"));
  CHECK(heavy.contains("part:extra"));
  CHECK_FALSE(light.contains("part:extra"));
  CHECK(heavy.contains("lips:extra:1"));
  CHECK_FALSE(light.contains("lips:extra:1"));
  CHECK(heavy.contains("lips:A.piston:2"));
  CHECK_FALSE(light.contains("lips:A.piston:2"));
  CHECK(heavy.contains("variant:heavy"));
  CHECK_FALSE(heavy.contains("variant:light"));
  CHECK(light.contains("part_kind:moulded_piston"));
  CHECK_FALSE(light.contains("part_kind:cooler"));
  CHECK_FALSE(book.diagnostics.HasErrors());
}

TEST_CASE("words that declare nothing get no facts, and a declaration that does not fit is an error") {
  Book none;
  const Unit unit = FiveSpeed();
  CHECK(UnitFacts(unit, "", Analyse(unit), none.words, none.diagnostics).empty());

  Book book;
  LoadBook(R"(
kinds:
  range: {from: unit}
  element: {from: unit}
  sort: {values: {clutch: clutch, brake: brake, band: band}}
facts:
  ratio: {slots: {range: range}, says: s}
  needed: {slots: {element: element, range: range, because: element}, says: s}
  carries: {slots: {element: element, range: range, share: torque}, says: s}
  shift: {slots: {from: range, to: number}, says: s}
  element_type: {slots: {element: element, type: sort}, says: s}
events:
  freewheels: {type: state, slots: {range: range}, says: s}
)",
           book);
  UnitFacts(unit, "", Analyse(unit), book.words, book.diagnostics);
  const char* const expected[] = {
      "7:3 `ratio` is given by the unit as a fact with the slots {range, ratio}; here it has no slot `ratio`",
      "8:3 `needed` is given by the unit as a fact with the slots {element, range}; here it also has "
      "`because`",
      "9:3 `carries` is given by the unit as a fact with the slots {element, range, share}; its slot `share` "
      "must hold a number",
      "10:3 `shift` is given by the unit as a fact with the slots {from, to}; its slot `to` must hold a name",
      ("11:3 `element_type` is given by the unit as a fact with the slots {element, type}; the kind `sort` "
       "of its slot `type` lacks "
       "`one_way_clutch`"),
      "13:3 `freewheels` is given by the unit as a fact with the slots {range}; here it is a state",
  };
  const std::vector<Diagnostic> found = book.diagnostics.Sorted();
  REQUIRE(found.size() == std::size(expected));  // each once, however many facts there are
  for (std::size_t i = 0; i < found.size(); ++i) {
    CHECK(std::to_string(found[i].place.line) + ":" + std::to_string(found[i].place.column) + " " +
              found[i].message ==
          expected[i]);
    CHECK(found[i].code == "unit-fact-shape");
  }
}

}  // namespace
}  // namespace gearwhy
