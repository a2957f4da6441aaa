// Versions beside variants: a unit that comes early and late as well as light and heavy.
#include <cmath>

#include "engine/files/load_case.h"
#include "engine/files/load_unit.h"
#include "engine/ground/diagnose.h"
#include "engine/text/read_file.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

// A shipped unit with versions: the coils of the late one have other limits, and its second cooler is another
// part.
struct Versioned {
  ShippedBook shipped;
  std::optional<Unit> unit;
  std::optional<UnitKnowledge> known;

  explicit Versioned(const std::string& chance_of_late = "25%") {
    const std::string file = GEARWHY_SOURCE_DIR "/rules/units/ravigneaux-four-speed.yaml";
    const auto source = ReadSource(file, file, kMaxBookBytes, shipped.sources, shipped.diagnostics);
    REQUIRE(source);
    std::string text = shipped.sources.Text(*source);
    const std::string coil =
        "  - coil_resistance_limit: {part: shift_solenoid_1, least: 20 ohm, most: 30 ohm}\n";
    const std::size_t at = text.find(coil);
    REQUIRE(at != std::string::npos);
    text.erase(at, coil.size());
    text +=
        "versions:\n"
        "  early:\n"
        "    says: early valve body\n"
        "    facts: [{coil_resistance_limit: {part: shift_solenoid_1, least: 20 ohm, most: 30 ohm}}]\n"
        "  late:\n"
        "    says: late valve body\n"
        "    chance: " +
        chance_of_late +
        "\n"
        "    facts: [{coil_resistance_limit: {part: shift_solenoid_1, least: 10 ohm, most: 14 ohm}}]\n";
    const auto root =
        ParseYaml(shipped.sources, shipped.sources.Add("versions.yaml", text), shipped.diagnostics);
    REQUIRE(root);
    unit = LoadUnit(*root, shipped.book->words, shipped.diagnostics);
    INFO(shipped.Errors());
    REQUIRE(unit);
    known = KnowUnit(*unit, shipped.diagnostics);
    REQUIRE(known);
  }

  std::optional<Case> Read(const std::string& rest) {
    const int source =
        shipped.sources.Add("x.yaml", "case: x\ntitle: x\nunit: ravigneaux-four-speed\n" + rest);
    const auto root = ParseYaml(shipped.sources, source, shipped.diagnostics);
    REQUIRE(root);
    const FindUnit find = [&](const std::string&, const Place&) { return &*unit; };
    const FindCase none = [](const std::string&, const Place&) { return std::nullopt; };
    return LoadCase(*root, "x", *shipped.book, find, none, shipped.diagnostics);
  }

  Diagnosis Of(const Case& c) {
    auto diagnosis = Diagnose(*shipped.book, &*known, c, {}, shipped.diagnostics);
    INFO(shipped.Errors());
    REQUIRE(diagnosis);
    return std::move(*diagnosis);
  }
};

TEST_CASE("each variant comes in each version, with what is said of either") {
  Versioned with;
  const Unit& unit = *with.unit;
  REQUIRE(unit.variants.size() == 4);
  CHECK(unit.variants[0].name == "light-early");
  CHECK(unit.variants[3].name == "heavy-late");
  CHECK(unit.variants[3].says == "heavy duty, late valve body");
  CHECK(unit.FindPart("A.frictions")->CountIn("light-late") ==
        unit.FindPart("A.frictions")->CountIn("light-early"));
  CHECK(unit.FindPart("A.frictions")->CountIn("heavy-late") >
        unit.FindPart("A.frictions")->CountIn("light-late"));
  const std::vector<double> chances = ChancesOfVariants(unit);
  CHECK(chances[0] == Approx(0.5 * 0.75));
  CHECK(chances[1] == Approx(0.5 * 0.25));
  const auto says = [&](const char* kind, const char* name) { return MembersOf(unit).at(kind).at(name); };
  CHECK(MembersOf(unit).at("variant").size() == 2);
  CHECK(says("variant", "heavy").empty());  // as a variant and version together it is said
  CHECK(says("variant", "light").empty());
  CHECK(MembersOf(unit).at("version").size() == 2);
  CHECK(says("version", "early") == unit.versions[0].says);
  CHECK(says("version", "late") == unit.versions[1].says);
}

TEST_CASE("what is known of variant and version leaves those that it may be, each as likely as before") {
  Versioned with;
  const auto worlds = [&](const std::string& rest) {
    const auto c = with.Read(rest);
    REQUIRE(c);
    const Diagnosis diagnosis = with.Of(*c);
    std::map<std::string, double> chances;
    for (std::size_t w = 0; w < diagnosis.worlds.size(); ++w) {
      chances[diagnosis.worlds[w].transmission->variant] =
          diagnosis.worlds.size() == 1 ? 1 : diagnosis.chances.p_world[w];
    }
    return chances;
  };
  CHECK(worlds("").size() == 4);
  const auto light = worlds("variant: light\n");
  REQUIRE(light.size() == 2);
  CHECK(light.at("light-late") == Approx(0.25));
  const auto late = worlds("version: late\n");
  REQUIRE(late.size() == 2);
  CHECK(late.at("heavy-late") == Approx(0.5));
  CHECK(worlds("variant: light\nversion: late\n") == std::map<std::string, double>{{"light-late", 1}});
  CHECK(worlds("variant: light-late\n") == std::map<std::string, double>{{"light-late", 1}});
}

// Against Bayes' rule over the versions, each diagnosed by itself: P(version | e) ~ P(version) P(e |
// version), and P(e) is read off two diagnoses of all versions that differ in what was said of them before
// anything is seen.
TEST_CASE("a reading tells the version, and what is sure of the version is said of the part") {
  const std::string reading =
      "variant: light\nmeasured:\n  - coil_resistance: {part: shift_solenoid_1, is: 12 ohm}\n";
  Versioned with("25%");
  const auto c = with.Read(reading);
  REQUIRE(c);
  const Diagnosis unknown = with.Of(*c);
  REQUIRE(unknown.worlds.size() == 2);
  // 12 ohm is what a sound late coil has; of early ones only a burnt one would.
  CHECK(unknown.chances.p_world[1] > 0.9);
  Versioned even("50%");
  const auto again = even.Read(reading);
  REQUIRE(again);
  const Diagnosis of_even = even.Of(*again);
  const auto odds = [](const Diagnosis& d) { return d.chances.p_world[1] / d.chances.p_world[0]; };
  CHECK(odds(unknown) / odds(of_even) == Approx(1.0 / 3).epsilon(1e-6));

  const auto early = with.Read("version: early\n" + reading), late = with.Read("version: late\n" + reading);
  REQUIRE(early);
  REQUIRE(late);
  const Diagnosis of_early = with.Of(*early), of_late = with.Of(*late);
  const auto off = [&](const Diagnosis& diagnosis) {
    const auto event = diagnosis.ground.Find({"coil_measures_off", {std::string("shift_solenoid_1")}});
    REQUIRE(event);
    return diagnosis.chances.p_event[At(*event)];
  };
  CHECK(off(of_early) > 0.5);
  CHECK(off(of_late) < 0.05);
  CHECK(off(unknown) ==
        Approx(unknown.chances.p_world[0] * off(of_early) + unknown.chances.p_world[1] * off(of_late))
            .epsilon(1e-6));
}

TEST_CASE("a version that is none of the unit's is refused where it stands") {
  Versioned with;
  CHECK_FALSE(with.Read("version: lat\n"));
  REQUIRE(with.shipped.diagnostics.HasErrors());
  const Diagnostic error = with.shipped.diagnostics.Sorted().front();
  CHECK(error.message == "`ravigneaux-four-speed` has no version `lat`; did you mean `late`?");
  CHECK(error.place.line == 4);
}

TEST_CASE("rules see the one variant and the one version that it is") {
  Versioned with;
  const auto c = with.Read("variant: heavy\nversion: early\n");
  REQUIRE(c);
  const Diagnosis diagnosis = with.Of(*c);
  const FactStore& store = diagnosis.Likeliest().store;
  CHECK(store.Find(Sense::kFact, {"variant", {std::string("heavy")}}));
  CHECK_FALSE(store.Find(Sense::kFact, {"variant", {std::string("light")}}));
  CHECK(store.Find(Sense::kFact, {"version", {std::string("early")}}));
  CHECK_FALSE(store.Find(Sense::kFact, {"version", {std::string("late")}}));
}

}  // namespace
}  // namespace gearwhy
