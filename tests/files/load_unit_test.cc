// The loader of unit files: what it reads, and every message in full.
#include "engine/files/load_unit.h"

#include "engine/files/load_words.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

constexpr const char* kWords = R"(
kinds:
  element: {from: unit}
  part: {from: unit}
facts:
  controls: {slots: {part: part, element: element}, says: s}
  end_play: {slots: {is: length}, says: s}
  pack_clearance: {slots: {element: element, is: length}, says: s}
  coil: {slots: {part: part, is: resistance}, says: s}
)";

struct Loaded {
  std::optional<Unit> unit;
  std::vector<std::string> messages;  // "line:column code: message"
};

Loaded Load(const std::string& text) {
  Sources sources;
  Diagnostics diagnostics;
  const auto words_root = ParseYaml(sources, sources.Add("words.yaml", kWords), diagnostics);
  REQUIRE(words_root);
  std::vector<Fields> files = {Fields(*words_root, "a file", diagnostics)};
  const Words words = LoadWords(files, diagnostics);
  REQUIRE_FALSE(diagnostics.HasErrors());
  const auto root = ParseYaml(sources, sources.Add("unit.yaml", text), diagnostics);
  REQUIRE(root);
  Loaded loaded;
  loaded.unit = LoadUnit(*root, words, diagnostics);
  for (const Diagnostic& diagnostic : diagnostics.Sorted())
    loaded.messages.push_back(std::to_string(diagnostic.place.line) + ":" +
                              std::to_string(diagnostic.place.column) + " " + diagnostic.code + ": " +
                              diagnostic.message);
  return loaded;
}

const std::string kGood = R"(unit: small
says: a small unit
gearsets:
  front: {type: simple, sun: 30, ring: 90}
joins:
  - [front.carrier, output]
elements:
  A:
    says: clutch A (forward clutch)
    type: clutch
    between: [input, front.sun]
    parts:
      piston: {kind: moulded_piston, says: the piston of clutch A}
      frictions: {kind: frictions, count: {light: 4, heavy: 5}}
      rings: {kind: feed_rings, count: 2}
  B: {type: brake, holds: front.ring}
  C: {type: clutch, between: [front.ring, front.sun]}
  F: {type: one_way_clutch, between: [front.ring, case]}
parts:
  cooler: {kind: cooler, variants: [heavy]}
  valve: {kind: shift_valve, says: the 1-2 shift valve}
ranges:
  D1: {says: first, applied: [A, B], ratio: 4.00}
  D2: {says: second, applied: [A, C]}
  N: {says: neutral, applied: [], neutral: true}
variants:
  light: {says: light duty}
  heavy:
    facts:
      - controls: {part: cooler, element: A}
facts:
  - controls: {part: valve, element: C}
)";

// kGood with one piece of text replaced.
std::string Changed(const std::string& what, const std::string& with) {
  std::string text = kGood;
  const std::size_t at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), with);
}

TEST_CASE("a unit file is read in whole") {
  const Loaded loaded = Load(kGood);
  CHECK(loaded.messages == std::vector<std::string>{});
  REQUIRE(loaded.unit);
  const Unit& unit = *loaded.unit;
  CHECK(unit.name == "small");
  REQUIRE(unit.gearsets.size() == 1);
  CHECK(unit.gearsets[0].ring_teeth == 90);
  CHECK(unit.joins == std::vector<std::vector<MemberName>>{{"front.carrier", "output"}});
  REQUIRE(unit.elements.size() == 4);
  CHECK(unit.FindElement("A")->says == "clutch A (forward clutch)");
  CHECK(unit.FindElement("B")->says == "brake B");
  CHECK(unit.FindElement("B")->second == "case");
  CHECK(unit.FindElement("F")->says == "one way clutch F");
  REQUIRE(unit.parts.size() == 5);
  CHECK(unit.parts[1].id == "A.frictions");
  CHECK(unit.parts[1].says == "the frictions of clutch A (forward clutch)");
  CHECK(unit.parts[1].count == std::map<std::string, int>{{"light", 4}, {"heavy", 5}});
  CHECK(unit.parts[2].count == std::map<std::string, int>{{"", 2}});
  CHECK(unit.parts[3].says == "the cooler");
  CHECK(unit.parts[3].variants == std::vector<std::string>{"heavy"});
  CHECK(unit.FindRange("D1")->stated_ratio == 4.0);
  CHECK_FALSE(unit.FindRange("D2")->stated_ratio.has_value());
  CHECK(unit.FindRange("N")->neutral);
  REQUIRE(unit.shifts.size() == 2);  // neighbours among the D ranges, up and down
  CHECK(unit.shifts[0].to == "D2");
  CHECK(unit.shifts[1].to == "D1");
  CHECK(unit.facts == std::vector<Statement>{{"controls", {"valve", "C"}}});
  CHECK(unit.FindVariant("heavy")->facts.size() == 1);
  CHECK(unit.FindVariant("heavy")->says == "heavy");
  const KindMembers members = MembersOf(unit);
  const auto names = [&](const char* kind) {
    std::string all;
    for (const auto& [name, says] : members.at(kind)) all += name + " ";
    return all;
  };
  CHECK(names("element") == "A B C F ");
  CHECK(members.at("part").contains("A.piston"));
  CHECK(members.at("part_kind").contains("shift_valve"));
  CHECK(names("variant") == "heavy light ");
}

TEST_CASE("variants are equally likely, but for what is stated of them") {
  const auto chances = [](const std::string& light, const std::string& heavy) {
    const Loaded loaded =
        Load(Changed("light: {says: light duty}\n  heavy:",
                     "light: {says: light duty" + light + "}\n  heavy:\n    says: heavy" + heavy));
    CHECK(loaded.messages == std::vector<std::string>{});
    REQUIRE(loaded.unit);
    return ChancesOfVariants(*loaded.unit);
  };
  CHECK(chances("", "") == std::vector<double>{0.5, 0.5});
  CHECK(chances(", chance: 75%", "") == std::vector<double>{0.75, 0.25});
  CHECK(chances("", "\n    chance: 1 in 4") == std::vector<double>{0.75, 0.25});
  CHECK(chances(", chance: 75%", "\n    chance: 25%") == std::vector<double>{0.75, 0.25});
  Unit none;
  CHECK(ChancesOfVariants(none).empty());
}

TEST_CASE("every slip in a unit file is reported where it stands") {
  struct Row {
    const char *what, *with;
    std::vector<std::string> messages;
  };
  const Row rows[] = {
      {"type: simple",
       "type: simpel",
       {"4:17 unknown-choice: `type` cannot be `simpel`; did you mean `simple`?"}},
      {"sun: 30, ", "", {"4:10 missing-key: the gearset `front` lacks the key `sun`"}},
      {"sun: 30",
       "sun: 30.5",
       {"4:30 bad-count: the teeth of `sun` should be a whole number from 1 to 1000, not `30.5`"}},
      {"ring: 90}",
       "ring: 30}",
       {"4:40 ring-too-small: the ring of `front` has no more teeth than its sun; the sun and the planets "
        "must fit in it"}},
      {"[front.carrier, output]",
       "[front.carier, output]",
       {"6:6 unknown-member: there is no member called `front.carier`; did you mean `front.carrier`?"}},
      {"[front.carrier, output]",
       "[output]",
       {"6:5 bad-join: a join lists two or more members that turn as one, as in `[front.ring, rear.ring]`"}},
      {"type: brake", "type: brak", {"16:13 unknown-choice: `type` cannot be `brak`; did you mean `brake`?"}},
      {"holds: front.ring",
       "holds: front.sum",
       {"16:27 unknown-member: there is no member called `front.sum`; did you mean `front.sun`?"}},
      {"holds: front.ring", "holds: case", {"16:27 bad-element: the case is held already"}},
      {"between: [front.ring, front.sun]",
       "between: [front.ring, front.ring]",
       {"17:30 bad-element: both ends are `front.ring`"}},
      {"between: [front.ring, front.sun]",
       "between: [front.ring, case]",
       {"17:30 bad-element: a clutch joins two members that turn; to hold one still, write `type: brake` and "
        "`holds:`"}},
      {"between: [front.ring, front.sun]",
       "between: front.ring",
       {"17:30 bad-element: `between` lists two members, as in `[input, front.sun]`"}},
      {"{light: 4, heavy: 5}",
       "{light: 4, hevy: 5}",
       {"14:43 missing-count: the count of `A.frictions` is not said for the variant `heavy`",
        "14:54 unknown-variant: there is no variant called `hevy`; did you mean `heavy`?"}},
      {"count: 2}",
       "count: -2}",
       {"15:40 bad-count: the count of `A.rings` should be a whole number from 1 to 1000, not `-2`"}},
      {"variants: [heavy]",
       "variants: [heavi]",
       {"20:37 unknown-variant: there is no variant called `heavi`; did you mean `heavy`?"}},
      {"light: {says: light duty}\n  heavy:",
       "light: {says: light duty, chance: 70%}\n  heavy:\n    chance: 40%",
       {"27:3 variant-chances: the chances of the variants make 110 in 100 together, not 100"}},
      {"light: {says: light duty}\n  heavy:",
       "light: {says: light duty, chance: 100%}\n  heavy:",
       {"27:3 variant-chances: the chances stated for variants make 100 in 100, and leave nothing for the "
        "others"}},
      {"applied: [A, C]",
       "applied: [A, c]",
       {"24:35 unknown-element: there is no element called `c`; did you mean `C`?"}},
      {"applied: [A, C]",
       "applied: [A, F]",
       {"24:35 one-way-applied: `F` is a one-way clutch; it holds by itself and is not listed"}},
      {"applied: [A, C]", "applied: [A, A]", {"24:35 applied-twice: `A` is listed already"}},
      {"ratio: 4.00",
       "ratio: 0",
       {"23:45 bad-ratio: no range has a ratio of 0; write `neutral: true` for a neutral one"}},
      {"neutral: true",
       "neutral: true, ratio: 1",
       {"25:44 bad-ratio: a range that is neutral by design has no `ratio`"}},
      {"  cooler: ",
       "  D1: ",
       {"23:3 name-taken: `D1` is the name of something else already",
        "30:26 unknown-value: there is no part called `cooler`; known are `A.frictions`, `A.piston`, "
        "`A.rings`, "
        "`D1`, `valve`"}},
      {"  cooler: ",
       "  cool.er: ",
       {"20:3 not-a-name: `cool.er` is no name for a part: use letters, digits, `_` and `-`",
        "30:26 unknown-value: there is no part called `cooler`; known are `A.frictions`, `A.piston`, "
        "`A.rings`, `valve`"}},
      {"  front: ", "  input: ", {}},
      {"says: second, ",
       "sais: second, ",
       {"24:8 unknown-key: the range `D2` has no key `sais`; did you mean `says`?"}},
      {"{part: valve, element: C}",
       "{part: valv, element: C}",
       {"32:22 unknown-value: there is no part called `valv`; did you mean `valve`?"}},
      {"facts:\n  - controls: {part: valve",
       "shifts: [D1 to D3, D1-D2, D2 to D2, D1 to D2, D1 to D2]\nfacts:\n  - controls: {part: valve",
       {"31:10 unknown-range: there is no range called `D3`; did you mean `D1`?",
        "31:20 bad-shift: `D1-D2` is no shift; write it as in `D1 to D2`",
        "31:27 bad-shift: a shift goes to another range", "31:47 bad-shift: this shift is listed already"}},
  };
  for (const Row& row : rows) {
    INFO(row.what << " -> " << row.with);
    const Loaded loaded = Load(Changed(row.what, row.with));
    CHECK_FALSE(loaded.unit.has_value());
    if (!row.messages.empty()) CHECK(loaded.messages == row.messages);
    if (row.messages.empty())
      CHECK(loaded.messages.at(0) ==
            "4:3 not-a-name: `input` is no name for a gearset: use letters, digits, `_` and `-`, and not "
            "`input`, `output` or `case`");
  }
}

const std::string kStack =
    "stacks:\n  A:\n    depth: {light: 14.0 mm, heavy: 16.2 mm}\n    tolerance: 0.1 mm\n"
    "    plates: {frictions: {each: 2.0 mm, tolerance: 0.05 mm}}\n    ring: rings\n"
    "    sizes: [1.2 mm, 1.4 mm]\n    ring_tolerance: 0.03 mm\n";

TEST_CASE("a stack is read in whole") {
  const Loaded loaded = Load(kGood + kStack);
  REQUIRE(loaded.unit);
  REQUIRE(loaded.unit->stacks.size() == 1);
  const Stack& stack = loaded.unit->stacks[0];
  CHECK(stack.element == "A");
  CHECK(stack.depth == std::map<std::string, double>{{"heavy", 16.2}, {"light", 14.0}});
  REQUIRE(stack.plates.size() == 1);
  CHECK(stack.plates[0].part == "A.frictions");
  CHECK(stack.plates[0].each == 2.0);
  CHECK(stack.ring == "A.rings");
  CHECK(stack.sizes == std::vector<double>{1.2, 1.4});
}

TEST_CASE("every slip in a stack is reported where it stands") {
  struct Row {
    const char* what;
    const char* with;
    const char* message;
  };
  const Row rows[] = {
      {"  A:\n    depth", "  Z:\n    depth", "34:3 unknown-element: there is no element called `Z`"},
      {"heavy: 16.2 mm", "heavy: 16.2 bar",
       "35:36 bad-quantity: `depth`: `16.2 bar` is a pressure, not a length"},
      {", heavy: 16.2 mm", "", "35:12 missing-variant: `depth` is not said for the variant `heavy`"},
      {"light: 14.0", "lite: 14.0", "35:12 missing-variant: `depth` is not said for the variant `light`"},
      {"depth: {light: 14.0 mm, heavy: 16.2 mm}", "depth: 1400 mm",
       "35:12 cannot-be: `depth`: `1400 mm` cannot be: a length here is from 0 mm to 500 mm"},
      {"frictions: {each", "plates: {each", "37:14 unknown-part: there is no part called `plates`"},
      {"ring: rings", "ring: ring", "38:11 unknown-part: there is no part called `ring`"},
      {"1.4 mm]", "1.2 mm]", "39:21 not-ascending: 1.2 mm stands behind 1.2 mm; sizes ascend, each once"},
      {"[1.2 mm, 1.4 mm]", "[]", "39:12 no-sizes: `sizes` lists the rings that there are, at least one"},
      {"    tolerance: 0.1 mm\n", "", "35:5 missing-key: the stack `A` lacks the key `tolerance`"},
  };
  for (const Row& row : rows) {
    std::string text = kGood + kStack;
    const std::size_t at = text.find(row.what, kGood.size());
    REQUIRE(at != std::string::npos);
    text.replace(at, std::string(row.what).size(), row.with);
    const Loaded loaded = Load(text);
    INFO(row.with);
    CHECK_FALSE(loaded.unit);
    REQUIRE_FALSE(loaded.messages.empty());
    CHECK(loaded.messages[0].substr(0, std::string(row.message).size()) == row.message);
  }
}

const std::string kDimensions = R"(engine_torque: {light: 190 N m, heavy: 260 N m}
converter_ratio: 2
engine_torque_at: 2500 rpm
dimensions:
  A: {drum: input, fluid_from: 25 mm, lined: frictions, outer_radius: 78 mm, inner_radius: 64 mm, friction: 0.13, piston_outer: 60 mm, piston_inner: 30 mm, spring: 700 N}
  F: {rating: 900 N m}
)";

TEST_CASE("dimensions are read, and every slip in them is reported where it stands") {
  const Loaded good = Load(kGood + kDimensions);
  REQUIRE(good.unit);
  REQUIRE(good.unit->dimensions.size() == 2);
  CHECK(good.unit->dimensions[0].lined == "A.frictions");
  CHECK(good.unit->dimensions[0].spring == 700);
  CHECK(good.unit->dimensions[1].rating == 900);
  CHECK(good.unit->dimensions[0].drum == "input");
  CHECK(good.unit->dimensions[0].fluid_from == 25);
  CHECK(good.unit->torque_at_rpm == 2500);
  CHECK(good.unit->converter_ratio == 2);
  CHECK(good.unit->engine_torque.at("heavy") == 260);
  struct Row {
    const char* what;
    const char* with;
    const char* message;
  };
  const Row rows[] = {
      {"  F: {", "  Z: {", "unknown-element: there is no element called `Z`"},
      {"drum: input", "drum: front.ring", "drum-of-none: the members of A are `input` and `front.sun`"},
      {"drum: input, ", "", "missing-dimension: what spins needs both `drum` and `fluid_from`"},
      {"rating: 900 N m", "rating: 900 N m, drum: front.ring",
       "drum-of-none: only the piston of a clutch turns"},
      {"engine_torque_at: 2500 rpm\n", "",
       "missing-dimension: what spins needs `engine_torque_at`, the speed at which the engine gives its "
       "torque"},
      {"rating: 900 N m", "friction: 0.1",
       "missing-dimension: the dimensions of a one_way_clutch need `rating`"},
      {"outer_radius: 78 mm, ", "", "missing-dimension: the dimensions of a clutch need `outer_radius`"},
      {"inner_radius: 64 mm", "inner_radius: 84 mm", "inside-out: `inner_radius` lies inside `outer_radius`"},
      {"friction: 0.13", "friction: 13",
       "cannot-be: `friction`: `13` cannot be: a number here is from 0.01 to 1"},
      {"spring: 700 N", "spring: 700 bar", "bad-quantity: `spring`: `700 bar` is a pressure, not a force"},
      {"lined: frictions", "lined: rollers", "unknown-part: there is no part called `rollers`"},
      {", heavy: 260 N m", "", "missing-variant: `engine_torque` is not said for the variant `heavy`"},
      {"converter_ratio: 2", "converter_ratio: 0.5",
       "cannot-be: `converter_ratio`: `0.5` cannot be: a number here is from 1 to 5"},
  };
  for (const Row& row : rows) {
    std::string text = kDimensions;
    const std::size_t at = text.find(row.what);
    REQUIRE(at != std::string::npos);
    text.replace(at, std::string(row.what).size(), row.with);
    const Loaded loaded = Load(kGood + text);
    INFO(row.with);
    CHECK_FALSE(loaded.unit);
    REQUIRE_FALSE(loaded.messages.empty());
    const std::string said = loaded.messages[0].substr(loaded.messages[0].find(' ') + 1);
    CHECK(said.substr(0, std::string(row.message).size()) == row.message);
  }
}

TEST_CASE("what sets a clearance is read, and every slip in it is reported where it stands") {
  const std::string choices =
      "choices:\n  cooler: {sets: end_play, sizes: [1.2 mm, 1.4 mm], tolerance: 0.02 mm}\n"
      "  A.piston: {sets: pack_clearance, pitch: 1.5 mm, lever: 2}\n"
      "  valve: {sets: end_play, sizes: [3 mm], thicker_makes: looser}\n";
  const Loaded good = Load(kGood + choices);
  CHECK(good.messages == std::vector<std::string>{});
  REQUIRE(good.unit);
  REQUIRE(good.unit->choices.size() == 3);
  CHECK(good.unit->choices[0].sizes == std::vector<double>{1.2, 1.4});
  CHECK(good.unit->choices[1].per_turn == 3);
  CHECK(good.unit->choices[2].looser);
  struct Row {
    const char* what;
    const char* with;
    const char* message;
  };
  const Row rows[] = {
      {"  cooler:", "  coler:", "34:3 unknown-part: there is no part called `coler`; did you mean `cooler`?"},
      {"1.4 mm]", "1.1 mm]", "34:44 not-ascending: 1.1 mm stands behind 1.2 mm; sizes ascend, each once"},
      {"pitch: 1.5 mm, lever: 2", "lever: 2",
       "35:3 sizes-or-pitch: say either `sizes`, of which one is chosen, or the `pitch` of a screw"},
      {"sets: end_play, sizes: [3", "sets: coil, sizes: [3",
       "36:17 not-a-clearance: `coil` is no fact that gives a length"},
      {"sets: end_play, sizes: [3", "sets: pack_clearance, sizes: [3",
       "36:17 not-a-clearance: `pack_clearance` is measured of an element, and `valve` belongs to none"},
      {"looser", "losser", "36:57 "},
  };
  for (const Row& row : rows) {
    std::string text = choices;
    const std::size_t at = text.find(row.what);
    REQUIRE(at != std::string::npos);
    text.replace(at, std::string(row.what).size(), row.with);
    const Loaded loaded = Load(kGood + text);
    INFO(row.with);
    CHECK_FALSE(loaded.unit);
    REQUIRE_FALSE(loaded.messages.empty());
    CHECK(loaded.messages[0].substr(0, std::string(row.message).size()) == row.message);
  }
}

TEST_CASE("versions stand beside variants, and some parts are in some of them only") {
  const std::string versions =
      "versions:\n  early: {says: early body}\n  late: {says: late body, chance: 20%}\n";
  const Loaded good =
      Load(Changed("{kind: shift_valve,", "{kind: shift_valve, versions: [late],") + versions);
  CHECK(good.messages == std::vector<std::string>{});
  REQUIRE(good.unit);
  CHECK(good.unit->FindPart("valve")->variants == std::vector<std::string>{"light-late", "heavy-late"});
  CHECK(good.unit->FindPart("cooler")->variants == std::vector<std::string>{"heavy-early", "heavy-late"});
  CHECK(good.unit->FindPart("A.frictions")->CountIn("heavy-early") == 5);
  CHECK(good.unit->FindPart("A.rings")->CountIn("heavy-early") == 2);
  CHECK(good.unit->FindVariant("light-late")->says == "light duty, late body");
  CHECK(Load(Changed("{kind: shift_valve,", "{kind: shift_valve, versions: [lat],") + versions).messages ==
        std::vector<std::string>{
            "21:41 unknown-version: there is no version called `lat`; did you mean `late`?"});
  CHECK(Load(kGood + "versions:\n  light: {says: light}\n").messages ==
        std::vector<std::string>{"34:3 name-taken: `light` is the name of something else already"});
}

TEST_CASE("a file that is no unit is reported, not read") {
  CHECK(Load("[]\n").messages ==
        std::vector<std::string>{"1:1 not-a-map: a unit should be a map of keys and values, not a list"});
  CHECK(Load("unit: x\n").messages ==
        std::vector<std::string>{"1:1 missing-key: a unit lacks the key `says`",
                                 "1:1 missing-key: a unit lacks the key `gearsets`",
                                 "1:1 missing-key: a unit lacks the key `elements`",
                                 "1:1 missing-key: a unit lacks the key `ranges`"});
}

TEST_CASE("a unit that could not be worked out in time is refused") {
  std::string elements;
  for (int i = 0; i < 9; ++i)
    elements += "  W" + std::to_string(i) + ": {type: one_way_clutch, between: [front.ring, case]}\n";
  const Loaded loaded = Load(Changed("parts:\n  cooler", elements + "parts:\n  cooler"));
  CHECK(loaded.messages ==
        std::vector<std::string>{"8:3 too-many: there are 10 one-way clutches; at most 8 can be worked out"});
}

}  // namespace
}  // namespace gearwhy
