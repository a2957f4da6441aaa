// What a shop would want to be otherwise, laid over the shipped rulebook: each in a few lines, with what
// stood there before and what stands there then; the example of the guide; what they cost.
#include <fmt/format.h>

#include <chrono>
#include <functional>

#include "engine/api/book.h"
#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

constexpr const char* kUnit = "simpson-three-speed";

// A rulebook with shop folders, each of one file.
struct Opened {
  Sources sources;
  Diagnostics diagnostics;
  TemporaryFolder folder;
  std::unique_ptr<Book> book;

  explicit Opened(const std::vector<std::string>& shops) {
    std::vector<BookFolder> folders = {{GEARWHY_SOURCE_DIR "/rules", "rules"}};
    for (std::size_t i = 0; i < shops.size(); ++i) {
      const std::string name = fmt::format("shop{}", i + 1);
      folder.Write(name + "/own.yaml", shops[i]);
      folders.push_back({folder.Path(name), name});
    }
    book = Book::Open(folders, sources, diagnostics);
  }
  std::string Errors() const { return RenderDiagnostics(diagnostics, sources); }
  const Rulebook& rules() const { return book->rules(); }
};

template <typename All>
const auto& Of(const All& all, const std::string& id) {
  const auto it = std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.id == id; });
  REQUIRE(it != all.end());
  return *it;
}

double Holds(const Rulebook& book, const std::string& chart, const std::string& cause) {
  for (const CauseLine& line : Of(book.charts, chart).causes) {
    if (line.cause.name == cause) return line.p_how_often;
  }
  return -1;
}

template <typename All>
double Count(const All& all, const std::string& id) {
  return static_cast<double>(
      std::count_if(all.begin(), all.end(), [&](const auto& one) { return one.id == id; }));
}

const Unit& UnitOf(const Opened& opened) {
  Diagnostics diagnostics;
  const Unit* unit = opened.book->units().Find(kUnit, {}, diagnostics);
  INFO(RenderDiagnostics(diagnostics, opened.sources));
  REQUIRE(unit != nullptr);
  return *unit;
}

double Limit(const Opened& opened, const std::string& fact, const std::string& of, std::size_t slot) {
  for (const Statement& statement : UnitOf(opened).facts) {
    if (statement.name == fact && statement.slots[0] == Value(of))
      return std::get<double>(statement.slots[slot]);
  }
  return -1;
}

struct Wish {
  std::string what, yaml;
  std::function<double(const Opened&)> value;
  double before, after;
};

std::string Tune(const std::string& id, const std::string& to) {
  return fmt::format("changes:\n  - {{tune: {}, to: {{{}}}, because: so it is here}}\n", id, to);
}

const std::vector<Wish>& Wishes() {
  static const std::vector<Wish> kWishes = {
      {"a fault is more common here", Tune("moulded-lip-cracks", "chance: 3%"),
       [](const Opened& o) { return Of(o.rules().chances, "moulded-lip-cracks").p_chance; }, 0.012, 0.03},
      {"heat does more harm here", Tune("lip-cracks-after-heat", "odds: 4"),
       [](const Opened& o) { return Of(o.rules().chances, "moulded-lip-cracks").factors[0].odds; }, 2.5, 4},
      {"a cause always brings it about", Tune("{symptom: no_drive, cause: cannot_hold}", "how_often: always"),
       [](const Opened& o) { return Holds(o.rules(), "no-drive", "cannot_hold"); }, 0.95, 0.99},
      {"a line of a chart does not hold here",
       "changes:\n  - {silence: {chart: no-drive, cause: grip_weak}, because: never seen}\n",
       [](const Opened& o) { return Holds(o.rules(), "no-drive", "grip_weak"); }, 0.06, -1},
      {"another cause for a symptom",
       "changes:\n  - extend: no-drive\n    with: {causes: [{cause: slow_fill_of_drive, how_often: 3%}]}\n   "
       " because: found twice\n"
       "events:\n  slow_fill_of_drive: {type: state, says: the drive circuit fills slowly}\n"
       "charts:\n  - {id: slow-fill, symptom: slow_fill_of_drive, unexplained: 0.1%, causes: [{cause: "
       "{cannot_hold: A}, how_often: 1%}]}\n",
       [](const Opened& o) { return Holds(o.rules(), "no-drive", "slow_fill_of_drive"); }, -1, 0.03},
      {"the pan takes longer", Tune("pan_off", "minutes: 40"),
       [](const Opened& o) { return o.rules().words.access.at("pan_off").minutes; }, 25, 40},
      {"a look takes longer", Tune("look-at-debris", "minutes: 12"),
       [](const Opened& o) { return Of(o.rules().checks, "look-at-debris").minutes; }, 5, 12},
      {"customers are mistaken more often", Tune("{trust: customer}", "mistaken: 20%"),
       [](const Opened& o) { return o.rules().words.FindTrust("customer")->p_mistaken; }, 0.10, 0.20},
      {"a word of the scale means more", "changes:\n  - {tune: seldom, to: 8%, because: so we speak}\n",
       [](const Opened& o) { return o.rules().words.how_often.at("seldom"); }, 0.06, 0.08},
      {"the lining may be thinner",
       Tune("{unit: simpson-three-speed, facts: {lining_limit: {part: D.band}}}", "least: 1.2 mm"),
       [](const Opened& o) { return Limit(o, "lining_limit", "D.band", 1); }, 1.35, 1.2},
      {"a limit of one variant",
       Tune("{unit: simpson-three-speed, variant: light, facts: {pack_clearance_limit: {element: B}}}",
            "most: 1.6 mm"),
       [](const Opened& o) {
         for (const Statement& fact : UnitOf(o).variants[0].facts) {
           if (fact.name == "pack_clearance_limit" && fact.slots[0] == Value("B"))
             return std::get<double>(fact.slots[2]);
         }
         return -1.0;
       },
       1.7, 1.6},
      {"another count of plates",
       Tune("{unit: simpson-three-speed, element: B, part: frictions}", "count: 5"),
       [](const Opened& o) {
         const auto& count = UnitOf(o).FindPart("B.frictions")->count;
         return static_cast<double>(count.contains("") ? count.at("") : count.at("light"));
       },
       3, 5},
      {"one part more in every unit",
       "changes:\n  - extend: simpson-three-speed\n    with: {parts: {line_filter: {kind: filter, says: the "
       "filter in the cooler line}}}\n    because: we fit one\n",
       [](const Opened& o) { return UnitOf(o).FindPart("line_filter") == nullptr ? 0.0 : 1.0; }, 0, 1},
      {"a part of an element that the unit has not",
       "changes:\n  - extend: {unit: simpson-three-speed, element: E}\n    with: {parts: {cage: {kind: "
       "one_way_race, says: the cage}}}\n    because: ours have one\n",
       [](const Opened& o) { return UnitOf(o).FindPart("E.cage") == nullptr ? 0.0 : 1.0; }, 0, 1},
      {"most of them are light", Tune("{unit: simpson-three-speed, variant: light}", "chance: 70%"),
       [](const Opened& o) { return UnitOf(o).variants[0].p_chance.value_or(-1); }, -1, 0.7},
      {"a decision that is not ours",
       "changes:\n  - {silence: steels-from-unknown-donor, because: we know them}\n",
       [](const Opened& o) { return Count(o.rules().decisions, "steels-from-unknown-donor"); }, 1, 0},
      {"plain pistons are used again", Tune("plain-pistons", "do: reuse"),
       [](const Opened& o) { return static_cast<double>(Of(o.rules().decisions, "plain-pistons").verdict); },
       static_cast<double>(Verdict::kMeasure), static_cast<double>(Verdict::kReuse)},
      {"another check in place of one",
       "changes:\n  - replace: look-at-debris\n    with: {says: looking into the pan, tells: [{debris: "
       "rubber}], minutes: 15, access: pan_off, how: Look.}\n    because: we wash it first\n",
       [](const Opened& o) {
         return static_cast<double>(Of(o.rules().checks, "look-at-debris").tells.size() +
                                    10 * Of(o.rules().checks, "look-at-debris").at_once.size());
       },
       11, 1},
      {"customers here say it so",
       "changes:\n  - {extend: {event: slips}, with: {ask: [it floats]}, because: our customers say so}\n",
       [](const Opened& o) { return static_cast<double>(o.rules().words.words.at("slips").ask.size()); }, 8,
       9},
      {"they come back more often for a piston", Tune("{renewal: moulded_piston}", "long_used: 6%"),
       [](const Opened& o) { return o.rules().renewing.again.at("moulded_piston").p_long_used.value_or(0); },
       0.04, 0.06},
      {"a better caliper", Tune("caliper", "bias: 0.01 mm"),
       [](const Opened& o) { return o.rules().instruments.at("caliper").bias; }, 0.02, 0.01},
      {"a servo is reached only with the unit out", Tune("{part_kind: servo_seal}", "access: unit_out"),
       [](const Opened& o) {
         const auto& all = o.rules().repairs;
         const auto it = std::find_if(all.begin(), all.end(),
                                      [](const Repair& r) { return r.part_kind == "servo_seal"; });
         return it->access == "unit_out" ? 1.0 : 0.0;
       },
       0, 1},
  };
  return kWishes;
}

TEST_CASE("what a shop would want to be otherwise takes a few lines each") {
  const Opened shipped({});
  REQUIRE(shipped.book);
  REQUIRE(Wishes().size() >= 20);
  for (const Wish& wish : Wishes()) {
    INFO(wish.what << "\n" << wish.yaml);
    const Opened opened({wish.yaml});
    INFO(opened.Errors());
    REQUIRE(opened.book);
    CHECK(wish.value(shipped) == Approx(wish.before));
    CHECK(wish.value(opened) == Approx(wish.after));
  }
}

TEST_CASE("two folders that disagree: the later wins") {
  const Opened opened({Tune("moulded-lip-cracks", "chance: 3%"), Tune("moulded-lip-cracks", "chance: 0.5%")});
  INFO(opened.Errors());
  REQUIRE(opened.book);
  CHECK(Of(opened.rules().chances, "moulded-lip-cracks").p_chance == Approx(0.005));
  CHECK(opened.rules().layers.changes[0].overridden_by == 1);
}

TEST_CASE("the changes that the guide shows can all be made") {
  const std::string guide = ReadAll(GEARWHY_SOURCE_DIR "/rules/README.md");
  const std::size_t begin = guide.find("```yaml\nchanges:");
  REQUIRE(begin != std::string::npos);
  const std::string example = guide.substr(begin + 8, guide.find("```", begin + 8) - begin - 8);
  const Opened opened({example});
  INFO(opened.Errors());
  REQUIRE(opened.book);
  CHECK(opened.Errors().empty());
  CHECK(opened.rules().layers.changes.size() == 7);
  CHECK(UnitOf(opened).changes.size() == 3);
}

TEST_CASE("a unit says which layer changed what stands in it") {
  const Opened opened(
      {Tune("{unit: simpson-three-speed, facts: {lining_limit: {part: D.band}}}", "least: 1.2 mm")});
  REQUIRE(opened.book);
  const Unit& unit = UnitOf(opened);
  REQUIRE(unit.changes.size() == 1);
  CHECK(unit.changes[0].unit == kUnit);
  CHECK(unit.changes[0].layer == 1);
  const auto at = std::find_if(unit.facts.begin(), unit.facts.end(), [](const Statement& fact) {
    return fact.name == "lining_limit" && fact.slots[0] == Value(std::string("D.band"));
  });
  REQUIRE(at != unit.facts.end());
  CHECK(ChangesAt(unit.changes, unit.fact_places[static_cast<std::size_t>(at - unit.facts.begin())]).size() ==
        1);
}

}  // namespace
}  // namespace gearwhy
