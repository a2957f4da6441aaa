// Trade facts, asked of the shipped rulebook by cases written here. All are common practice; none has a
// published source.
#include <algorithm>
#include <map>
#include <set>

#include "engine/explain/part_decisions.h"
#include "engine/ground/diagnose.h"
#include "engine/ground/ground_checks.h"
#include "engine/model/access.h"
#include "tests/support/catch.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

// The shipped rulebook, with a case of the five-speed unit.
class Shop {
 public:
  explicit Shop(const std::string& text) {
    const std::string head = "case: bench\ntitle: bench\nunit: ravigneaux-simple-five-speed\n";
    case_ = DiagnoseText(shipped_, "bench", head + text);
    diagnosis_ = &*case_->diagnosis;
  }

  double Chance(const std::string& id) const {
    const auto& events = diagnosis_->ground.network.events;
    const auto it =
        std::find_if(events.begin(), events.end(), [&](const Event& event) { return event.id == id; });
    REQUIRE(it != events.end());
    return diagnosis_->chances.p_event[static_cast<std::size_t>(it - events.begin())];
  }

  // The access that the repair of the fault needs.
  std::string Repair(const std::string& name, const std::string& of) const {
    const auto event = diagnosis_->ground.Find({name, {of}});
    REQUIRE(event);
    return diagnosis_->ground.events[static_cast<std::size_t>(*event)].repair;
  }

  // "replace", "reuse" and "measure" for each decision of a part, the weightiest first.
  std::vector<std::string> Verdicts(const std::string& part) const {
    std::vector<std::string> verdicts;
    for (const PartDecision& decision : DecideParts(*diagnosis_)) {
      if (decision.part == part) verdicts.emplace_back(VerdictName(decision.verdict));
    }
    return verdicts;
  }

  // Whether the case reports the event absent, by itself or by a rule.
  bool Absent(const std::string& name, const std::string& part) const {
    return diagnosis_->Likeliest().store.Find(Sense::kAbsent, {name, {part}}).has_value();
  }

 private:
  ShippedBook shipped_;
  std::unique_ptr<ShippedCase> case_;
  const Diagnosis* diagnosis_ = nullptr;
};

using Verdicts = std::vector<std::string>;

TEST_CASE(
    "seals, pin and spring of a servo are renewed through its cover, those of a pack with the pack apart") {
  const Shop shop("history: []\n");
  for (const char* fault : {"seal_hardened", "seal_cut", "seal_worn", "seal_wrong_size"}) {
    INFO(fault);
    CHECK(shop.Repair(fault, "D.servo_seal") == "servo_open");
    CHECK(shop.Repair(fault, "A.inner_seal") == "packs_apart");
  }
  CHECK(shop.Repair("servo_pin_bore_worn", "D.servo_pin") == "servo_open");
  CHECK(shop.Repair("return_spring_broken", "D.return_spring") == "servo_open");
  CHECK(shop.Repair("return_spring_broken", "B.return_spring") == "packs_apart");
  CHECK(shop.Repair("band_worn", "D.band") == "unit_opened");
}

TEST_CASE("whatever is wrong with a solenoid, it is renewed with the pan off") {
  const Shop shop("history: []\n");
  for (const char* fault : {"coil_open", "coil_open_hot", "solenoid_sticks_off", "solenoid_sticks_on",
                            "solenoid_leaks", "solenoids_swapped"}) {
    INFO(fault);
    CHECK(shop.Repair(fault, "shift_solenoid_1") == "pan_off");
  }
  CHECK(shop.Repair("pressure_solenoid_low", "pressure_solenoid") == "pan_off");
  CHECK(shop.Repair("coil_open", "converter_solenoid") == "pan_off");
}

TEST_CASE("a fault that says what its repair needs goes before its kind of part") {
  const Shop shop("history: []\n");
  CHECK(shop.Repair("band_set_loose", "D.anchor") == "pan_off");
  CHECK(shop.Repair("anchor_broken", "D.anchor") == "valve_body_out");
  CHECK(shop.Repair("fluid_worn_out", "fluid") == "pan_off");
  CHECK(shop.Repair("fluid_low", "fluid") == "on_lift");
}

TEST_CASE(
    "1.59 mm measured against 1.60 mm new with a caliper is no measurable wear, and the band may be reused") {
  const Shop shop(
      "history: [{print_legible: D.band}]\n"
      "measured: [{lining_thickness: {part: D.band, is: 1.59 mm, with: caliper}}, {lining_new: {part: "
      "D.band, "
      "new: 1.60 mm}}]\n"
      "observed: [present: fluid_dark]\n");
  CHECK(shop.Absent("found_worn", "D.band"));
  CHECK(shop.Verdicts("D.band") == Verdicts{"reuse"});
}

// What becomes of the band of D when a new one has 1.60 mm; `more`: further lines of the case.
Verdicts VerdictOfBand(const std::string& reads, const std::string& with, const std::string& more = "") {
  const Shop shop("history: [{print_legible: D.band}]\nmeasured:\n  - lining_thickness: {part: D.band, is: " +
                  reads + ", with: " + with + "}\n  - lining_new: {part: D.band, new: 1.60 mm}\n" + more);
  return shop.Verdicts("D.band");
}

TEST_CASE("only a reading that can be that of a new lining lets the band be reused") {
  CHECK(VerdictOfBand("1.59 mm", "caliper") == Verdicts{"reuse"});
  CHECK(VerdictOfBand("1.30 mm", "caliper") == Verdicts{"measure"});
  CHECK(VerdictOfBand("1.60 mm", "ruler") == Verdicts{"measure"});    // says nothing
  CHECK(VerdictOfBand("1.77 mm", "caliper") == Verdicts{"measure"});  // thicker than new: not this lining
}

TEST_CASE("a lining below its limit, or below half of a new one where no limit is known, is renewed") {
  const std::string limit = "  - lining_limit: {part: D.band, least: 1.20 mm}\n";
  CHECK(VerdictOfBand("0.53 mm", "caliper") == Verdicts{"replace"});
  CHECK(VerdictOfBand("1.16 mm", "caliper") == Verdicts{"measure"});
  CHECK(VerdictOfBand("1.16 mm", "micrometer", limit) == Verdicts{"replace"});
  CHECK(VerdictOfBand("1.16 mm", "caliper", limit) == Verdicts{"measure"});  // too close for it to tell
  CHECK(VerdictOfBand("1.30 mm", "caliper", limit) == Verdicts{"measure"});
}

TEST_CASE("a wear limit settles whether a lining is worn, either way") {
  const auto shop = [](const std::string& reads) {
    return Shop(
        "measured: [{lining_thickness: {part: D.band, is: " + reads +
        "}}, {lining_new: {part: D.band, new: 1.60 mm}}, {lining_limit: {part: D.band, least: 1.20 mm}}]\n");
  };
  CHECK(shop("1.30 mm").Absent("found_worn", "D.band"));
  CHECK_FALSE(shop("1.21 mm").Absent("found_worn", "D.band"));
  CHECK(shop("1.10 mm").Chance("band_worn:D.band") > 0.5);
}

TEST_CASE("harm that was found on a part goes before what it measures, what is told of it and what it is") {
  struct Row {
    const char* part;
    const char* finding;
    const char* otherwise;
  };
  const std::vector<Row> rows = {
      {"B.drum", "found_cracked: B.drum", "measure"},
      {"B.steels", "found_coned: B.steels", "measure"},
      {"B.steels", "found_hot_spots: B.steels", "measure"},
      {"F.clutch", "found_not_holding: F.clutch", "measure"},
      {"shift_valve_12", "found_stuck: shift_valve_12", "reuse"},
      {"shift_valve_12", "vacuum_not_held: shift_valve_12", "reuse"},
      {"converter", "found_swollen_shell: converter", "measure"},
      {"converter", "debris: bronze", "measure"},
      {"shift_solenoid_1", "coil_measures_off: shift_solenoid_1", "measure"},
      {"E.piston", "found_hard: E.piston", "measure"},
      {"control_module", "goes_with_another_module", "reuse"},
  };
  const Shop before("history: []\n");
  for (const Row& row : rows) {
    INFO(row.finding);
    const std::string seen = std::string("observed: [{present: {") + row.finding + "}, trust: seen}]\n";
    const bool slotless = std::string(row.finding).find(':') == std::string::npos;
    const Shop shop(slotless ? std::string("observed: [{present: ") + row.finding + ", trust: road_test}]\n"
                             : seen);
    CHECK(before.Verdicts(row.part) == Verdicts{row.otherwise});
    CHECK(shop.Verdicts(row.part) == Verdicts{"replace"});
  }
  CHECK(
      VerdictOfBand("1.59 mm", "caliper", "observed: [{present: {found_cracked: D.band}, trust: bench}]\n") ==
      Verdicts{"replace"});
  CHECK(
      Shop(
          "history: [{worked_without_marks: B.steels}]\nobserved: [{present: {found_coned: B.steels}, trust: "
          "bench}]\n")
          .Verdicts("B.steels") == Verdicts{"replace"});
}

// Every variant of every unit, with nothing known of it.
template <typename Visit>
void EachTransmission(const Visit& visit) {
  ShippedBook shipped;
  for (const std::string& name : shipped.opened->units().Names()) {
    const UnitKnowledge* known = shipped.opened->Know(name, {}, shipped.diagnostics);
    REQUIRE(known != nullptr);
    for (const Variant& variant : known->unit->variants) {
      const auto diagnosed = DiagnoseText(
          shipped, "bench", "case: bench\ntitle: bench\nunit: " + name + "\nvariant: " + variant.name + "\n");
      INFO(name << ", " << variant.name);
      visit(*known->unit, variant, *diagnosed->diagnosis);
    }
  }
}

TEST_CASE("every part of every transmission has one verdict before anything is known of it") {
  int transmissions = 0;
  EachTransmission([&](const Unit& unit, const Variant& variant, const Diagnosis& diagnosis) {
    std::map<std::string, int> verdicts;
    for (const PartDecision& decision : DecideParts(diagnosis)) ++verdicts[decision.part];
    for (const Part& part : unit.parts) {
      const bool there =
          part.variants.empty() || std::count(part.variants.begin(), part.variants.end(), variant.name) > 0;
      INFO(part.id);
      CHECK(verdicts[part.id] == (there ? 1 : 0));
    }
    ++transmissions;
  });
  CHECK(transmissions > 6);
}

TEST_CASE("steels that worked without marks may be reused; from an unknown donor new ones are safer") {
  CHECK(Shop("history: [{worked_without_marks: B.steels}]\n").Verdicts("B.steels") == Verdicts{"reuse"});
  CHECK(Shop("history: [{parts_from_unknown_donor: B.steels}]\n").Verdicts("B.steels") ==
        Verdicts{"replace"});
  CHECK(Shop("history: []\n").Verdicts("B.steels") == Verdicts{"measure"});
}

TEST_CASE("moulded pistons are renewed at a full rebuild") {
  CHECK(Shop("history: [full_rebuild]\n").Verdicts("E.piston").front() == "replace");
}

TEST_CASE(
    "frictions left over from a kit are no mistake if the count is the one that came out of a pack that "
    "worked") {
  const std::string left_over = "history: [{frictions_left_over: H}, {count_as_found: H}";
  const Shop shop(left_over + "]\n");
  CHECK(shop.Verdicts("H.frictions") == Verdicts{"reuse"});
  CHECK(shop.Absent("count_too_low", "H.frictions"));
  CHECK(shop.Absent("count_too_high", "H.frictions"));
  CHECK(shop.Chance("frictions_too_few:H.frictions") <
        Shop("history: []\n").Chance("frictions_too_few:H.frictions"));
  // At a full rebuild new ones go in, as many.
  CHECK(Shop(left_over + ", full_rebuild]\n").Verdicts("H.frictions") == Verdicts{"replace"});
}

TEST_CASE("what came out proves no count where another builder, another unit or slipping stands against it") {
  const std::string counted = "history: [{frictions_left_over: H}, {count_as_found: H}";
  for (const std::string& against :
       std::vector<std::string>{", rebuilt_recently]\n", ", came_back]\n", ", unit_from_unknown_donor]\n",
                                ", {parts_from_unknown_donor: H.frictions}]\n",
                                "]\nobserved: [{present: {slips: D4}, trust: road_test}]\n",
                                "]\nobserved: [{present: {flare: {from: D2, to: D3}}, trust: road_test}]\n",
                                "]\nobserved: [{present: {no_drive: D3}, trust: road_test}]\n",
                                "]\nobserved: [{present: {found_burnt: H.frictions}, trust: bench}]\n"}) {
    INFO(against);
    const Shop shop(counted + against);
    CHECK_FALSE(shop.Absent("count_too_low", "H.frictions"));
    CHECK_FALSE(shop.Absent("count_too_high", "H.frictions"));
    CHECK(shop.Verdicts("H.frictions") != Verdicts{"reuse"});
  }
  // Slipping where clutch H is not applied says nothing against it.
  CHECK(Shop(counted + "]\nobserved: [{present: {slips: R}, trust: road_test}]\n")
            .Absent("count_too_low", "H.frictions"));
}

TEST_CASE("what decisions ask of the bench follows from what is looked at there") {
  const Shop shop(
      "observed: [{absent: {print_gone: D.band}, trust: bench}, {absent: {count_changed: H.frictions}, "
      "trust: bench},\n"
      "  {present: {kit_left_over: H.frictions}, trust: bench}, {absent: {found_coned: B.steels}, trust: "
      "bench},\n"
      "  {absent: {found_hot_spots: B.steels}, trust: bench}]\n"
      "measured: [{lining_thickness: {part: D.band, is: 1.59 mm}}, {lining_new: {part: D.band, new: 1.60 "
      "mm}}]\n");
  CHECK(shop.Verdicts("D.band") == Verdicts{"reuse"});
  CHECK(shop.Verdicts("H.frictions") == Verdicts{"reuse"});
  CHECK(shop.Verdicts("B.steels") == Verdicts{"reuse"});
}

TEST_CASE(
    "a moulded lip lost in the reverse clutch shows as lost reverse while the forward ranges stay good") {
  const Shop shop(
      "complaint: [{present: {no_drive: R}, trust: road_test}]\n"
      "observed: [{absent: {no_drive: D1}, trust: road_test}, {absent: {slips: D2}, trust: road_test},\n"
      "  {absent: {no_engine_braking: M1}, trust: road_test}, {present: {found_cracked: C.piston}, trust: "
      "bench}]\n");
  CHECK(shop.Chance("cannot_hold:C") > 0.9);
  CHECK(shop.Chance("lip_cracked:C.piston") > 0.8);
  CHECK(shop.Chance("cannot_hold:A") < 0.02);
  CHECK(shop.Chance("cannot_hold:E") < 0.05);
}

TEST_CASE("a friction too few in a pack makes it slip under load, and its count accuses it") {
  const std::string seen =
      "complaint: [{present: {slips: D4}, trust: road_test}]\nhistory: [rebuilt_recently]\n";
  const Shop before(seen);
  const Shop counted(seen + "observed: [{present: {count_too_low: B.frictions}, trust: bench}]\n");
  CHECK(counted.Chance("frictions_too_few:B.frictions") > 0.6);
  CHECK(counted.Chance("frictions_too_few:B.frictions") > before.Chance("frictions_too_few:B.frictions"));
  CHECK(counted.Chance("grip_weak:B") > 0.5);
}

// Common practice: a unit is stripped from its underside first.
TEST_CASE(
    "with the unit opened pan, valve body and servos are off, and only opening the body still costs "
    "minutes") {
  ShippedBook shipped;
  const Words& words = shipped.book->words;
  const std::set<std::string> open = OpenAccess(words, {"unit_opened"});
  for (const char* access : {"pan_off", "valve_body_out", "servo_open"}) {
    INFO(access);
    CHECK(MinutesToReach(words, access, open) == 0);
  }
  CHECK(MinutesToReach(words, "valve_body_open", open) == words.access.at("valve_body_open").minutes);
}

// Common practice: without its fluid, its pan or itself in place a transmission is neither run nor driven.
TEST_CASE(
    "whatever is felt on a road test, or read on the gauge at the line tap, needs the vehicle to run, and no "
    "step that opens it leaves it running") {
  ShippedBook shipped;
  const Words& words = shipped.book->words;
  int running = 0;
  for (const Check& check : shipped.book->checks) {
    INFO(check.id);
    if (check.access == "on_road" || check.access == "gauge_on" || check.trust == "road_test")
      CHECK(check.running);
    if (check.running) CHECK(CanRun(words, {check.access}));
    running += check.running;
  }
  CHECK(running > 30);
  for (const char* access : {"pan_off", "servo_open", "valve_body_out", "valve_body_open", "unit_out",
                             "packs_apart", "converter_cut"}) {
    INFO(access);
    CHECK_FALSE(CanRun(words, {access}));
  }
  CHECK(CanRun(words, {"on_lift", "gauge_on", "scanner_on"}));
}

bool Has(const Check& check, const std::string& caution) {
  return std::count(check.cautions.begin(), check.cautions.end(), caution) > 0;
}

bool Tells(const std::string& text, const std::vector<std::string>& words) {
  return std::any_of(words.begin(), words.end(),
                     [&](const std::string& word) { return text.find(word) != std::string::npos; });
}

// Common practice: what can hurt, told wherever it can.
TEST_CASE("each check warns of what can hurt in it, and defers to the maker's procedure") {
  ShippedBook shipped;
  const Words& words = shipped.book->words;
  for (const Check& check : shipped.book->checks) {
    INFO(check.id);
    CHECK(Has(check, "makers_procedure"));
    const std::set<std::string> open = OpenWith(words, check.access);
    const bool on_lift = open.contains("on_lift") && !NeedsUnitOut(words, check.access);
    const bool under_vehicle = on_lift && check.access != "valve_body_open";
    if (under_vehicle && check.access != "valve_body_out") CHECK(Has(check, "vehicle_on_stands"));
    if (check.running && check.access == "on_road") CHECK(Has(check, "road_test"));
    if (check.running && check.access != "on_road" && check.access != "scanner_on")
      CHECK(Has(check, "exhaust_gas"));
    if (check.running && under_vehicle) CHECK(Has(check, "hot_exhaust"));
    if (check.running && check.access == "scanner_on") CHECK(Has(check, "road_test"));
    if (check.access == "unit_out" || check.access == "unit_opened") CHECK(Has(check, "heavy_unit"));
    const std::string how = " " + check.how;
    if (Tells(how, {"low air", "dry air", "compressed air"})) CHECK(Has(check, "compressed_air"));
    if (Tells(how, {"solvent"})) CHECK(Has(check, "solvent"));
    if (Tells(how, {"read at stall", "Full throttle in"})) CHECK(Has(check, "stall_test"));
    if (Tells(how, {"fused lead"})) CHECK(Has(check, "battery"));
    if (Tells(how, {" belt"})) CHECK(Has(check, "belt_and_fan"));
  }
}

TEST_CASE("it is stalled with its wheels on the ground, and only in a range that drives") {
  ShippedBook shipped;
  int stalls = 0;
  for (const Check& check : shipped.book->checks) {
    if (!Has(check, "stall_test")) continue;
    INFO(check.id);
    ++stalls;
    CHECK(std::any_of(check.when.begin(), check.when.end(), [](const Condition& condition) {
      return condition.kind == Condition::Kind::kNot && condition.pattern.name == "does_not_drive";
    }));
    CHECK((check.access == "in_car" || check.how.find("onto its wheels") != std::string::npos));
  }
  CHECK(stalls == 2);
}

TEST_CASE("limits at stall are stated only of ranges that are engaged at rest") {
  int limits = 0;
  EachTransmission([&](const Unit&, const Variant&, const Diagnosis& diagnosis) {
    const FactStore& store = diagnosis.Likeliest().store;
    for (const FactId fact : store.Named(Sense::kFact, "line_pressure_limit")) {
      const Value range = store.Get(fact).statement.slots.front();
      INFO(ShowValue(range));
      CHECK(store.Find(Sense::kFact, {"engaged_at_rest", {range}}).has_value());
      ++limits;
    }
  });
  CHECK(limits > 20);
}

TEST_CASE("what opening destroys is looked at before, and is not asked for afterwards") {
  const auto asks = [](const Diagnosis& diagnosis, const std::string& id) {
    const std::vector<GroundCheck> checks = GroundChecksOf(diagnosis);
    return std::any_of(checks.begin(), checks.end(),
                       [&](const GroundCheck& one) { return one.check->id == id; });
  };
  ShippedBook shipped;
  const std::string head = "case: bench\ntitle: bench\nunit: ravigneaux-simple-five-speed\nopen: ";
  const auto opened = DiagnoseText(shipped, "bench", head + "[unit_opened]\n");
  const auto apart = DiagnoseText(shipped, "bench", head + "[packs_apart]\n");
  for (const char* id : {"measure-pack-clearance", "look-at-selective-ring", "measure-piston-depth"}) {
    INFO(id);
    CHECK(asks(*opened->diagnosis, id));
    CHECK_FALSE(asks(*apart->diagnosis, id));
  }
  CHECK(asks(*apart->diagnosis, "look-at-frictions"));
  const auto out = DiagnoseText(shipped, "bench", head + "[unit_out]\n");
  for (const char* id : {"measure-end-play", "measure-band-travel", "look-at-band-adjuster"}) {
    INFO(id);
    CHECK(asks(*out->diagnosis, id));
    CHECK_FALSE(asks(*opened->diagnosis, id));
  }
  CHECK_FALSE(asks(*out->diagnosis, "look-at-linkage"));
}

}  // namespace
}  // namespace gearwhy
