// What `next` says of an answer is what the case says after it: every number, over the shipped cases.
//
// In ctest every so many-th answer is given and the case diagnosed from nothing; all of them on request:
//   build/benchmark/tests/test_advise "[all_answers]"
#include <cmath>

#include "engine/advise/interview.h"
#include "engine/advise/pull.h"
#include "engine/files/edit_case.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

// The question as `gearwhy ask` puts it, its findings in the order of the answers that were worked out.
NextQuestion QuestionOf(const Diagnosis& diagnosis, const GroundCheck& ground, const WeighedCheck& weighed) {
  NextQuestion question;
  question.check.trust = ground.check->trust;
  question.check.access_name = ground.check->access;
  for (const int finding : weighed.asked) {
    AskedFinding asked;
    asked.event = diagnosis.ground.events[static_cast<std::size_t>(finding)].statement;
    question.check.findings.push_back(asked);
  }
  if (ground.all_good >= 0)
    question.check.all_good = diagnosis.ground.events[static_cast<std::size_t>(ground.all_good)].statement;
  return question;
}

// How far the chances of the faults that were told are from those that came.
double LargestDifference(const Diagnosis& after, const Answer& answer) {
  double largest = 0;
  for (std::size_t i = 0; i < after.ground.network.events.size(); ++i) {
    if (after.ground.network.events[i].type != EventType::kFault) continue;
    if (std::isnan(answer.then.p_event[i])) continue;  // a consequence that is not told of
    const double apart = std::abs(answer.then.p_event[i] - after.chances.p_event[i]);
    if (!(apart <= largest)) largest = apart;  // NaN, too
  }
  return largest;
}

// The same faults under the same numbers. What a customer left unnamed stands behind them, and may have been
// answered since.
bool HasSameFaults(const Diagnosis& a, const Diagnosis& b) {
  const auto is_fault = [](const Event& event) { return event.type == EventType::kFault; };
  const auto &first = a.ground.network.events, &second = b.ground.network.events;
  if (std::count_if(first.begin(), first.end(), is_fault) !=
      std::count_if(second.begin(), second.end(), is_fault))
    return false;
  for (std::size_t i = 0; i < first.size(); ++i) {
    if (is_fault(first[i]) && first[i].id != second[i].id) return false;
  }
  return true;
}

// Gives every `of`-th answer to the checks of a case; `number` counts them over all cases. How many were
// given.
int CheckAnswersOf(ShippedBook& shipped, const ShippedCase& opened_case, int of, int& number) {
  const ShippedCase* opened = &opened_case;
  int checked = 0;
  const Diagnosis& diagnosis = *opened->diagnosis;
  BeliefLimits anyhow = diagnosis.limits;
  anyhow.answer_work = 1e9;
  const CaseChecks checks = WeighCase(diagnosis);
  for (const WeighedCheck& weighed : checks.weighed.checks) {
    if (!weighed.answers.exact) continue;
    const GroundCheck& ground = checks.ground[weighed.check];
    INFO(ground.key);
    const NextQuestion question = QuestionOf(diagnosis, ground, weighed);
    const Trust& trust = *shipped.book->words.FindTrust(ground.check->trust);
    const Question all = AnswersTo(ground, weighed.asked, trust, *diagnosis.ground.common);
    std::optional<Answers> told;
    if (!checks.by.firm) told = weighed.answers;
    for (std::size_t a = 0; a < weighed.answers.answers.size(); ++a) {
      if (number++ % of != 0 || weighed.answers.answers[a].p < 1e-6) continue;
      INFO("answer " << a);
      // What is told is worked out of the network as it is.
      if (!told) told = ComputeAnswers(diagnosis.ground.network, ChancesNow(diagnosis), {all}, anyhow).front();
      REQUIRE(told->exact);
      const std::vector<OutcomeAfter> alone =
          OutcomesAfter(diagnosis.ground.network, NeedUnitOut(diagnosis), {{all[a]}}, anyhow).front();
      REQUIRE(!alone.empty());
      QuestionAnswer reply;
      if (a < weighed.asked.size()) reply.present = {static_cast<int>(a)};
      Case c = opened->c;
      for (const CaseChange& change : ChangesOf(diagnosis, question, reply)) REQUIRE(ChangeCase(c, change));
      const auto after = shipped.opened->DiagnoseCase(c, {}, shipped.diagnostics);
      REQUIRE(after);
      REQUIRE(HasSameFaults(*after, diagnosis));
      const double off = 1e-6 + diagnosis.firm_error + after->firm_error;
      CHECK(LargestDifference(*after, told->answers[a]) < off);
      const auto outcome = OutcomeNow(*after);
      REQUIRE((outcome && alone[0].outcome));
      CHECK(std::abs(alone[0].p - told->answers[a].p) < 1e-6);
      CHECK(std::abs(outcome->marked - alone[0].outcome->marked) < off);
      CHECK(std::abs(outcome->any - alone[0].outcome->any) < off);
      ++checked;
    }
  }
  return checked;
}

void CheckEveryAnswer(int of) {
  ShippedBook shipped;
  int number = 0, checked = 0;
  for (const std::string& file : ShippedCaseFiles()) {
    INFO(file);
    checked += CheckAnswersOf(shipped, *DiagnoseFile(shipped, file), of, number);
  }
  CHECK(checked > 900 / of);
}

// An answer about heat bears on the drives as well: what comes only cold, a hot drive has missed.
TEST_CASE("what an answer makes of earlier drives is in the numbers of next, too") {
  ShippedBook shipped;
  const auto opened = DiagnoseText(shipped, "x",
                                   "case: x\ntitle: Slips in second\nunit: simpson-three-speed\n"
                                   "complaint: [{present: {slips: D2}, trust: customer}]\n"
                                   "observed:\n"
                                   "  - {absent: {trouble: D2}, trust: road_test, under: [hot, heavy]}\n"
                                   "  - {absent: {trouble: D1}, trust: road_test, under: [hot, heavy]}\n"
                                   "  - {absent: {trouble: D3}, trust: road_test, under: [hot, heavy]}\n");
  opened->diagnosis->limits.answer_work = 1e8;  // for all the checks
  int number = 0;
  CHECK(CheckAnswersOf(shipped, *opened, 1, number) > 20);
  const CaseChecks checks = WeighCase(*opened->diagnosis);
  CHECK(std::any_of(checks.ground.begin(), checks.ground.end(),
                    [](const GroundCheck& check) { return !check.reweighed.empty(); }));
}

TEST_CASE("every number that next says of an answer is what rank says after it") { CheckEveryAnswer(101); }
TEST_CASE("and so it is for all answers of all cases", "[.][all_answers]") { CheckEveryAnswer(1); }

// The same complaint as it is told and as the road test finds it: not there.
TEST_CASE("a complaint that was not found again is no reason to take the unit out, whatever unit and range") {
  ShippedBook shipped;
  int checked = 0;
  for (const std::string& name : shipped.shelf->Names()) {
    const Unit& unit = shipped.UnitNamed(name);
    std::vector<std::string> complaints;
    for (const Range& range : unit.ranges) {
      if (range.neutral) continue;
      for (const char* finding : {"no_drive", "slips"})
        complaints.push_back(std::string(finding) + ": " + range.name);
    }
    for (const Shift& shift : unit.shifts)
      complaints.push_back("flare: {from: " + shift.from + ", to: " + shift.to + "}");
    complaints.push_back("");
    for (const std::string& complaint : complaints) {
      INFO(name << ", " << complaint);
      std::string text = "case: x\ntitle: Not found again\nunit: " + name + "\n";
      if (!complaint.empty())
        text += "complaint: [{present: {" + complaint + "}, trust: customer}]\n" + "observed: [{absent: {" +
                complaint + "}, trust: road_test}]\n";
      const auto opened = DiagnoseText(shipped, "x", text);
      const auto outcome = OutcomeNow(*opened->diagnosis);
      REQUIRE(outcome);
      CHECK(outcome->marked <= 0.1);
      ++checked;
      if (!complaint.empty() && checked % 12 != 0) continue;  // the decision takes as long as all the rest
      const PullDecision pull =
          DecidePull(*opened->diagnosis, WeighCase(*opened->diagnosis), OutcomeNow(*opened->diagnosis));
      CHECK(pull.advice == (complaint.empty() ? PullAdvice::kUnknown : PullAdvice::kNothing));
    }
  }
  CHECK(checked > 60);
}

double OutAfterDrive(ShippedBook& shipped, const std::string& unit, const std::vector<std::string>& ranges,
                     const std::string& under) {
  std::string complaints, drives;
  for (const std::string& range : ranges) {
    complaints += "  - {present: {slips: " + range + "}, trust: customer}\n";
    drives += "  - {absent: {drives_badly: " + range + "}, trust: road_test, under: [" + under + "]}\n";
  }
  const auto opened = DiagnoseText(shipped, "x",
                                   "case: x\ntitle: Not found again\nunit: " + unit + "\ncomplaint:\n" +
                                       complaints + "observed:\n" + drives);
  const auto outcome = OutcomeNow(*opened->diagnosis);
  REQUIRE(outcome);
  return outcome->marked;
}

TEST_CASE(
    "a hot drive under load refutes a gear as well as one of which nothing is said, also several gears") {
  ShippedBook shipped;
  for (const std::string& name : shipped.shelf->Names()) {
    std::vector<std::string> forward;
    for (const Range& range : shipped.UnitNamed(name).ranges) {
      if (range.name.starts_with('D')) forward.push_back(range.name);
    }
    for (std::size_t first = 0; first + 2 < forward.size(); ++first) {
      INFO(name << ", from " << forward[first]);
      for (const std::size_t several : {1, 3}) {
        const auto begin = forward.begin() + static_cast<std::ptrdiff_t>(first);
        const std::vector<std::string> ranges(begin, begin + static_cast<std::ptrdiff_t>(several));
        const double plain = OutAfterDrive(shipped, name, ranges, "");
        CHECK(plain <= 0.15);
        CHECK(OutAfterDrive(shipped, name, ranges, "hot, heavy") <= plain + 1e-9);
      }
    }
  }
}

}  // namespace
}  // namespace gearwhy
