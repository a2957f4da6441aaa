// The JSON Schemas that the program prints, held against every shipped file and against mistakes by a
// validator that is not ours: python3-jsonschema (schema_check.py).
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

// A python that has the validator. Debian's own goes before one of somebody's making.
std::string Python() {
  for (const std::string python : {"/usr/bin/python3", "python3"}) {
    if (RunCommand(python + " -c 'import jsonschema, yaml' 2>&1").exit_code == 0) return python;
  }
  FAIL("python3-jsonschema and python3-yaml are not installed: cmake/setup.sh tests");
  return "";
}

// What the validator says of the files, a line each.
std::string Held(const fs::path& folder, const std::string& kind, const std::vector<fs::path>& files) {
  const fs::path schema = folder / (kind + ".json");
  const Ran printed =
      RunCommand("'" GEARWHY_PROGRAM "' rules schema " + kind + " >'" + schema.string() + "'");
  REQUIRE(printed.exit_code == 0);
  std::string command =
      Python() + " '" GEARWHY_SOURCE_DIR "/tests/support/schema_check.py' '" + schema.string() + "'";
  for (const fs::path& file : files) command += " '" + file.string() + "'";
  const Ran ran = RunCommand(command + " 2>&1");
  INFO(ran.out);
  REQUIRE(ran.exit_code == 0);
  return ran.out;
}

std::vector<fs::path> YamlFiles(const std::string& folder) {
  std::vector<fs::path> files;
  for (const auto& entry : fs::directory_iterator(fs::path(GEARWHY_SOURCE_DIR) / folder)) {
    if (entry.path().extension() == ".yaml") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

TEST_CASE("every shipped file is valid by the schema of its kind") {
  const TemporaryFolder folder;
  const std::vector<std::pair<std::string, std::string>> shipped = {
      {"rulebook", "rules"}, {"unit", "rules/units"}, {"case", "cases"}};
  for (const auto& [kind, where] : shipped) {
    const std::vector<fs::path> files = YamlFiles(where);
    REQUIRE(files.size() >= 4);
    std::string all_valid;
    for (const fs::path& file : files) all_valid += file.string() + ": valid\n";
    CHECK(Held(folder.path(), kind, files) == all_valid);
  }
}

TEST_CASE("the shipped schemas are those of the shipped rulebook, and every shipped file names its own") {
  const std::vector<std::pair<std::string, std::string>> shipped = {
      {"rulebook", "rules"}, {"unit", "rules/units"}, {"case", "cases"}};
  for (const auto& [kind, where] : shipped) {
    const fs::path schema = fs::path(GEARWHY_SOURCE_DIR) / "rules" / "schemas" / (kind + ".json");
    const Ran printed = RunCommand("'" GEARWHY_PROGRAM "' rules schema " + kind);
    REQUIRE(printed.exit_code == 0);
    if (std::getenv("GEARWHY_REWRITE") != nullptr) std::ofstream(schema) << printed.out;
    CHECK((ReadAll(schema.string()) == printed.out));
    for (const fs::path& file : YamlFiles(where)) {
      INFO(file.string());
      const std::string text = ReadAll(file.string());
      CHECK(text.substr(0, text.find('\n')) ==
            "# yaml-language-server: $schema=" + fs::relative(schema, file.parent_path()).string());
    }
  }
}

const std::string kRulebook = R"(
rulebook: all keys
version: 1
kinds:
  element: {from: unit}
  heat: {values: {hot: hot, cold: cold}}
facts:
  towed: {says: it towed, history: false, once: true, every_part: true}
  gap: {slots: {is: {kind: length, from: 0 mm, to: 9 mm, whole: false}, heat: {kind: heat, default: hot}}, says: "{is}"}
events:
  worn: {type: fault, says: worn, repair: {access: car, because: it lies open}, gap_because: none}
  loose: {type: fault, says: loose, repair: car}
  weak: {type: state, where: true, slots: {element: element}, says: weak, says_absent: strong, says_short: w}
  slips: {type: finding, says: slips, needs: [{absent: bad}], ask: [slips]}
  bad: {type: finding, says: bad}
how_often: {usually: 80%, seldom: 3 in 100, never: 0.001}
trust:
  seen: {noticed: 100%, mistaken: 1%, direct: true, complaint: true, says: seen}
circumstances:
  hot: {says: hot, opposite: cold, shown_by: bad, missed: usually, missed_unasked: 6%, how: drive}
  cold: {says: cold, opposite: hot}
access:
  car: {says: in the car}
  out: {says: out, from: car, minutes: 9, unit_out: true, not_running: true, cautions: [hot], opens: car}
cautions:
  hot: {says: it burns}
rules:
  - id: wide
    when: [{gap: {is: $g}}, $g > 2 mm, {not: towed}, {present: bad}]
    trust: seen
    then: [{present: slips}, towed]
    because: wide
charts:
  - id: slip
    symptom: slips
    unexplained: 0.1%
    when: [{element: $e}]
    causes: [{cause: {weak: $e}, how_often: usually, when: [towed], because: b, gap_because: g}]
chances:
  - id: wear
    fault: worn
    chance: 2%
    factors: [{id: towing, when: [towed], odds: 3, because: b}]
checks:
  - {id: look, says: looking, tells: [slips], all_good: bad, measures: {gap: {}}, when: [], minutes: 1, access: car,
     running: true, lost_with: out, trust: seen, how: look, cautions: hot, at_once: [e]}
repairs:
  - {part_kind: piston, access: out, when: [towed]}
decisions:
  - {id: renew, part: $p, when: [towed], do: replace, because: b, gap_because: g}
  - {id: keep, part: $p, when: [towed], do: reuse, found: [{weak: A}], goes_by: told}
silence:
  - {id: others, when: [{element: $e}], over: e, trust: seen, unnamed_if_present: 10%, unnamed_if_absent: 0.9,
     named_at_most: usually, says: others are named, because: b}
changes:
  - {tune: wear, to: {chance: 3%}, because: b}
  - {extend: {chart: slip}, with: {causes: []}, because: b}
  - {silence: {symptom: slips, cause: {weak: $e}}, because: b}
lint:
  - {ignore: no-because, at: [wear], because: b}
)";

const std::string kUnit = R"(
unit: small
says: small
gearsets:
  front: {type: simple, sun: 30, ring: 90, profile_shift: true}
  rear: {type: ravigneaux, small_sun: 28, large_sun: 34, ring: 76}
joins: [[front.carrier, output]]
elements:
  A: {type: clutch, between: [input, front.sun], parts: {piston: {kind: piston, count: {light: 1}}}}
  B: {type: brake, holds: front.ring, says: brake B}
parts:
  cooler: {kind: cooler, says: the cooler, variants: [light], count: 2}
ranges:
  D1: {says: first, applied: [A, B], ratio: 4}
  N: {applied: [], neutral: true}
shifts: [D1 to N]
variants:
  light: {says: light, facts: [towed]}
facts: [{gap: {is: 3 mm}}]
)";

// In words of the shipped rulebook: what a case names must be there.
const std::string kCase = R"(
case: one
title: it slips
note: n
unit: simpson-three-speed
variant: light
history: [overheated_before, {distance: 90000 km}]
measured: [{line_pressure: {range: R, is: [9 bar, 10 bar], with: pressure_gauge, when: as_found}}]
complaint: [{present: {slips: D2}, trust: customer, note: n}]
observed: [{absent: {no_drive: {range: R}}, trust: road_test, under: [hot]}]
unknown: [{worse_hot: D2}]
open: [pan_off]
found: [{lip_cracked: A.piston}]
expect:
  - {fault: {lip_cracked: A.piston}, within: 3, at_least: 10%, at_most: 0.9, reasons: [wear]}
  - {state: {pressure_lost: A}, suspected: false}
)";

struct Mistake {
  std::string from, to;  // put in place of the first of `from`
  std::string found;     // where, and which keyword of the schema finds it
};

void CheckMistakes(const std::string& kind, const std::string& good, const std::vector<Mistake>& mistakes) {
  const TemporaryFolder folder;
  folder.Write("good.yaml", good);
  std::vector<fs::path> files = {folder.Path("good.yaml")};
  std::string expected = folder.Path("good.yaml") + ": valid\n";
  for (const Mistake& mistake : mistakes) {
    const std::size_t at = good.find(mistake.from);
    INFO(mistake.from);
    REQUIRE(at != std::string::npos);
    const std::string name = std::to_string(files.size()) + ".yaml";
    folder.Write(name, std::string(good).replace(at, mistake.from.size(), mistake.to));
    files.push_back(folder.Path(name));
    expected += folder.Path(name) + ": " + mistake.found + "\n";
  }
  CHECK(Held(folder.path(), kind, files) == expected);
}

TEST_CASE("mistakes in a rulebook are not valid by its schema") {
  CheckMistakes(
      "rulebook", kRulebook,
      {
          {"charts:", "chart:", "/: additionalProperties"},
          {"says: it towed, ", "", "/facts/towed: required"},
          {"{type: fault, says: worn", "{type: part, says: worn", "/events/worn/type: enum"},
          {"where: true, slots", "needs: [{absent: bad}], slots", "/events/weak/needs: not allowed"},
          {"usually: 80%", "usually: 80", "/how_often/usually: maximum"},
          {"direct: true", "direct: 1", "/trust/seen/direct: type"},
          {"missed: usually, ", "", "/circumstances/hot: required"},
          {"{from: unit}", "{values: {a: a}, from: unit}", "/kinds/element: oneOf"},
          {"minutes: 9", "minutes: -9", "/access/out/minutes: minimum"},
          {"id: wide", "id: wide one", "/rules/0/id: pattern"},
          {"when: [{gap: {is: $g}}", "when: [{gap: {is: $g}, towed: {}}", "/rules/0/when/0: anyOf"},
          {"because: wide", "becuase: wide", "/rules/0: additionalProperties"},
          {"how_often: usually", "how_often: [usually]", "/charts/0/causes/0/how_often: type"},
          {"chance: 2%", "chance: -0.2", "/chances/0/chance: minimum"},
          {"odds: 3", "odds: {by: 3}", "/chances/0/factors/0/odds: type"},
          {"tells: [slips]", "tells: slips", "/checks/0/tells: type"},
          {"do: replace", "do: renew", "/decisions/0/do: enum"},
          {"goes_by: told", "goes_by: found", "/decisions/1/goes_by: enum"},
          {"over: e, ", "", "/silence/0: required"},
          {"tune: wear, ", "", "/changes/0: oneOf"},
          {"tune: wear, ", "tune: wear, silence: wear, ", "/changes/0: oneOf"},
          {"to: {chance: 3%}", "to: [3%]", "/changes/0/to: type"},
          {"{ignore: no-because, at: [wear]", "{at: [wear]", "/lint/0: required"},
      });
}

TEST_CASE("mistakes in a unit are not valid by its schema") {
  CheckMistakes("unit", kUnit,
                {
                    {"ranges:", "gears:", "/: additionalProperties"},
                    {"sun: 30", "sun: 30.5", "/gearsets/front/sun: type"},
                    {"large_sun: 34, ", "", "/gearsets/rear: required"},
                    {"sun: 30, ring: 90", "small_sun: 30, ring: 90", "/gearsets/front: required"},
                    {"[front.carrier, output]", "[front.carrier]", "/joins/0: minItems"},
                    {"between: [input, front.sun]", "between: [input, front.sun, case]",
                     "/elements/A/between: maxItems"},
                    {"holds: front.ring, ", "", "/elements/B: required"},
                    {"count: 2", "count: 0", "/parts/cooler/count: anyOf"},
                    {"neutral: true", "neutral: yes please", "/ranges/N/neutral: type"},
                });
}

TEST_CASE("mistakes in a case are not valid by its schema") {
  CheckMistakes(
      "case", kCase,
      {
          {"title: it slips\n", "", "/: required"},
          {"observed: [{absent", "observed: [{present: {slips: D1}, absent", "/observed/0: oneOf"},
          {"present: {slips: D2}, ", "", "/complaint/0: oneOf"},
          {"within: 3", "within: 0", "/expect/0/within: minimum"},
          {"fault: {lip", "faults: {lip", "/expect/0: additionalProperties"},
          {"suspected: false", "suspected: never", "/expect/1/suspected: type"},
          {"history: [overheated_before, {distance: 90000 km}]", "history: {towed: true}", "/history: type"},
          // Names that are not in force.
          {"unit: simpson-three-speed", "unit: simpson", "/unit: enum"},
          {"trust: road_test", "trust: roadtest", "/observed/0/trust: enum"},
          {"under: [hot]", "under: [tepid]", "/observed/0/under: anyOf"},
          {"open: [pan_off]", "open: [pan]", "/open: anyOf"},
          {"overheated_before", "overheated", "/history/0: anyOf"},
          {"{slips: D2}, t", "{slipping: D2}, t", "/complaint/0/present: anyOf"},
          {"{no_drive: {range: R}}", "{no_drive: {gear: R}}", "/observed/0/absent: anyOf"},
          {"with: pressure_gauge", "with: eye", "/measured/0: anyOf"},
      });
}

TEST_CASE("a schema of no kind of file is a wrong command line") {
  const Ran ran = RunCommand("'" GEARWHY_PROGRAM "' rules schema shop 2>&1");
  CHECK(ran.exit_code == 2);
  CHECK(ran.out.find("there is no schema of `shop`; say rulebook, unit or case") != std::string::npos);
}

}  // namespace
}  // namespace gearwhy
