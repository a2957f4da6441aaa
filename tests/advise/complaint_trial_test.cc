// That what only a customer has said is tried by somebody who knows before the vehicle no longer runs: common
// practice.
#include "engine/advise/next_step.h"
#include "engine/model/access.h"
#include "engine/model/policy.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

std::string TextOf(const std::string& observed) {
  return "case: x\ntitle: Slips in manual second\nunit: simpson-three-speed\nvariant: light\n"
         "complaint: [{present: {slips: M2}, trust: customer}]\nobserved:\n" +
         observed;
}

// By trust of the checks that tell it.
std::vector<std::string> ToldBy(const Diagnosis& diagnosis, const Statement& finding) {
  std::vector<std::string> trusts;
  for (const GroundCheck& check : GroundChecksOf(diagnosis)) {
    for (const int event : check.findings) {
      if (diagnosis.ground.events[At(event)].statement == finding) trusts.push_back(check.check->trust);
    }
  }
  return trusts;
}

const Statement kSlips = {"slips", {"M2"}};

TEST_CASE("a customer's complaint is there to be tried, until somebody who knows has") {
  ShippedBook shipped;
  const auto told = DiagnoseText(shipped, "x", TextOf("  - {absent: {no_drive: R}, trust: road_test}\n"));
  CHECK(ToldBy(*told->diagnosis, kSlips) == std::vector<std::string>{"road_test"});
  for (const char* report : {"present", "absent"}) {
    const auto tried = DiagnoseText(
        shipped, "x", TextOf(std::string("  - {") + report + ": {slips: M2}, trust: road_test}\n"));
    CHECK(ToldBy(*tried->diagnosis, kSlips).empty());
  }
  const auto nobody_knows = DiagnoseText(
      shipped, "x", TextOf("  - {absent: {no_drive: R}, trust: road_test}\n") + "unknown: [{slips: M2}]\n");
  CHECK(ToldBy(*nobody_knows->diagnosis, kSlips).empty());
}

TEST_CASE("a complaint that nobody has tried is tried before anything is opened") {
  ShippedBook shipped;
  const std::string good =
      "  - {absent: {no_drive: R}, trust: road_test}\n  - {absent: {delayed: R}, trust: road_test}\n"
      "  - {absent: {harsh_engagement: R}, trust: road_test}\n  - {absent: {worse_hot: M2}, trust: "
      "customer}\n"
      "  - {absent: {worse_cold: M2}, trust: customer}\n"
      "  - {absent: {worse_under_load: M2}, trust: customer}\n"
      "  - {absent: fluid_dark, trust: seen}\n  - {absent: fluid_smells_burnt, trust: seen}\n"
      "  - {absent: level_low, trust: seen}\n";
  const auto untried = DiagnoseText(shipped, "x", TextOf(good));
  const NextStep step = FindNextStep(*untried->diagnosis, WeighCase(*untried->diagnosis), {});
  REQUIRE(step.kind == NextStep::Kind::kAsk);
  CHECK(step.question.check.key == "drive-in-range:M2");
  const std::vector<AskedFinding>& asked = step.question.check.findings;
  CHECK(std::any_of(asked.begin(), asked.end(),
                    [](const AskedFinding& one) { return one.complained && one.event == kSlips; }));
}

TEST_CASE("nothing is opened that keeps from driving while a trial of the complaint would tell something") {
  ShippedBook shipped;
  int opens = 0;
  for (const std::string& file : ShippedCaseFiles(5)) {
    INFO(file);
    const auto opened = DiagnoseFile(shipped, file);
    const Diagnosis& diagnosis = *opened->diagnosis;
    const CaseChecks checks = WeighCase(diagnosis);
    const NextStep step = FindNextStep(diagnosis, checks, {});
    if (step.kind != NextStep::Kind::kAsk) continue;
    if (CanRun(shipped.book->words, {step.question.check.access_name})) continue;
    ++opens;
    for (const WeighedCheck& one : checks.weighed.checks) {
      INFO(checks.ground[one.check].key);
      CHECK((checks.ground[one.check].complained.empty() || !one.answers.exact ||
             one.moves < kLeastMovedBeforeUnitOut));
    }
  }
  CHECK(opens > 2);
}

TEST_CASE("a complaint that was tried and not found again is most likely nothing") {
  ShippedBook shipped;
  const auto chance = [&](const std::string& observed) {
    const auto opened = DiagnoseText(shipped, "x", TextOf(observed));
    return opened->diagnosis->chances.p_event[At(*opened->diagnosis->ground.Find(kSlips))];
  };
  const std::string rest = "  - {absent: {no_drive: R}, trust: road_test}\n";
  CHECK(chance(rest + "  - {present: {slips: M2}, trust: road_test}\n") > chance(rest));
  CHECK(chance(rest + "  - {absent: {slips: M2}, trust: road_test}\n") < 0.5);
}

}  // namespace
}  // namespace gearwhy
