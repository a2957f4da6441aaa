// Trade facts, asked of the shipped rulebook by cases written here. All are common practice; none has a
// published source.
#include <algorithm>

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
    return diagnosis_->store.Find(Sense::kAbsent, {name, {part}}).has_value();
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
      "measured: [{lining_measured: {part: D.band, least: 1.57 mm, most: 1.61 mm}}, {lining_new: {part: "
      "D.band, is: 1.60 mm}}]\n"
      "observed: [present: fluid_dark]\n");
  CHECK(shop.Absent("found_worn", "D.band"));
  CHECK(shop.Verdicts("D.band") == Verdicts{"reuse"});
}

TEST_CASE("a band that measures thinner than the instrument can err is worn, and is not passed as new") {
  const Shop shop(
      "history: [{print_legible: D.band}]\n"
      "measured: [{lining_measured: {part: D.band, least: 1.28 mm, most: 1.32 mm}}, {lining_new: {part: "
      "D.band, is: 1.60 mm}}]\n");
  CHECK_FALSE(shop.Absent("found_worn", "D.band"));
  CHECK(shop.Verdicts("D.band") == Verdicts{"measure"});
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

TEST_CASE("frictions left over from a kit are no mistake if the count is the one that came out") {
  const Shop shop("history: [{frictions_left_over: H}, {count_as_found: H}, rebuilt_recently]\n");
  const Verdicts verdicts = shop.Verdicts("H.frictions");
  CHECK(std::count(verdicts.begin(), verdicts.end(), "reuse") == 1);
  CHECK(shop.Absent("count_too_low", "H.frictions"));
  CHECK(shop.Absent("count_too_high", "H.frictions"));
  CHECK(shop.Chance("frictions_too_few:H.frictions") <
        Shop("history: [rebuilt_recently]\n").Chance("frictions_too_few:H.frictions"));
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

}  // namespace
}  // namespace gearwhy
