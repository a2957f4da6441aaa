// The questions of an interview, one after the other: what is asked of the car, whether the unit comes out,
// and what at the end.
#include <algorithm>

#include "engine/advise/interview_course.h"
#include "engine/model/access.h"

namespace gearwhy {

RankReport InterviewCourse::Report(int suspects) const {
  RankOptions options;
  options.suspects = suspects;
  options.reasons = false;  // a reason that is asked for is made by itself
  return MakeRankReport(diagnosis(), nullptr, diagnosis().limits, options);
}

const CaseChecks& InterviewCourse::Checks() {
  if (i_.checks_ == nullptr) i_.checks_ = std::make_shared<const CaseChecks>(WeighCase(diagnosis()));
  return *i_.checks_;
}

void InterviewCourse::StartAsking() {
  i_.asking_ = true;
  if (!Diagnose(i_.case_)) return Leave();
  Tell(Ranking{Report(5), true});
  PutStep();
}

void InterviewCourse::PutStep() {
  i_.aside_ = false;
  if (i_.known_ == nullptr) return Leave();
  if (i_.state_.measuring) return PutMeasurement();
  const bool settled =
      !i_.state_.ask_anything && i_.state_.going_on.empty() && SeenDirectly(diagnosis(), Report(10));
  i_.step_ =
      settled ? NextStep{NextStep::Kind::kSettled, {}} : FindNextStep(diagnosis(), Checks(), i_.state_);
  switch (i_.step_.kind) {
    case NextStep::Kind::kAsk:
      return PutQuestion();
    case NextStep::Kind::kUnitOut:
      return PutUnitOut();
    case NextStep::Kind::kSettled:
    case NextStep::Kind::kEnough:
      return PutEnd();
  }
}

void InterviewCourse::PutQuestion() {
  const NextQuestion& question = i_.step_.question;
  if (question.measures.empty()) return PutFindings(true);
  std::vector<CaseChange> facts;
  std::vector<std::vector<int>> quantities;
  for (const NumberWanted& measure : question.measures) {
    facts.emplace_back();
    facts.back().list = CaseList::kMeasured;
    facts.back().statement = measure.fact;
    quantities.push_back(measure.quantities);
  }
  AskNumbers(facts, quantities);
}

void InterviewCourse::TakeMeasured() {
  std::vector<CaseChange> changes = i_.numbers_.whole;
  const NextCheck& check = i_.step_.question.check;
  i_.state_.measured.insert(check.key);
  if (changes.empty()) return PutFindings(false);
  if (auto opened = OpenedBy(diagnosis(), check.access_name)) changes.push_back(std::move(*opened));
  i_.state_.going_on = check.key;
  TakeChanges({changes, check.says});
  PutStep();
}

void InterviewCourse::PutFindings(bool begins) {
  const NextCheck& check = i_.step_.question.check;
  const bool one = check.findings.size() == 1;
  Prompt prompt{one ? PromptKind::kFinding : PromptKind::kFindings,
                one ? ReplyForm::kFinding : ReplyForm::kFindings, !one};
  for (const AskedFinding& finding : check.findings)
    prompt.options.push_back(
        {.id = finding.id, .statement = finding.event, .complained = finding.complained});
  prompt.options.push_back({.id = one ? "not" : "none", .present = false});
  if (one) prompt.options.back().statement = check.findings[0].event;
  if (!one) prompt.options.back().statement = check.all_good;
  prompt.options.push_back({"dont_know"});
  prompt.question = i_.step_.question;
  prompt.begins = begins;
  prompt.goes_on = i_.state_.going_on == check.key;
  Put(std::move(prompt));
}

void InterviewCourse::TakeFindings(const Reply& reply) {
  const NextQuestion question = i_.step_.question;
  const int count = static_cast<int>(question.check.findings.size());
  QuestionAnswer answer{{}, reply.unsure, reply.under};
  for (const int option : reply.chosen) {
    if (option == count + 1) {
      for (int i = 0; i < count; ++i) answer.unknown.push_back(i);
    } else if (option < count &&
               std::find(reply.unsure.begin(), reply.unsure.end(), option) == reply.unsure.end()) {
      answer.present.push_back(option);
    }
  }
  i_.state_.going_on.clear();
  TakeChanges({ChangesOf(diagnosis(), question, answer), question.check.says});
  PutStep();
}

void InterviewCourse::PutUnitOut() {
  const std::string access = StepThatTakesOut(words(), i_.step_.question.check.access_name);
  const std::set<std::string> open = OpenAccess(words(), i_.case_->open);
  Prompt prompt{PromptKind::kUnitOut, ReplyForm::kOne};
  prompt.yes_no = true;
  prompt.options = {{access}, {"not_yet"}, {"leave"}};
  prompt.question = i_.step_.question;
  prompt.standing = Conclude(diagnosis(), Checks(), Report(20), i_.step_);
  prompt.cautions = CautionsToReach(words(), access, open);
  prompt.minutes = MinutesToReach(words(), access, open);
  Put(std::move(prompt));
}

void InterviewCourse::TakeUnitOut(const Reply& reply) {
  if (ChosenOf(reply) == 2) return Leave();
  if (ChosenOf(reply) == 1) {
    i_.state_.keep_unit_in = true;
    return PutStep();
  }
  CaseChange change;
  change.list = CaseList::kOpen;
  change.access = i_.prompt_.options[0].id;
  TakeChanges({{change}, i_.step_.question.check.says});
  PutStep();
}

namespace {

// What would be asked if time did not matter, and what was put off were asked after all.
InterviewState AllTheSame(InterviewState state) {
  state.ask_anything = true;
  state.keep_unit_in = false;
  state.passed.clear();
  return state;
}

}  // namespace

void InterviewCourse::PutEnd() {
  Prompt prompt{PromptKind::kEnd, ReplyForm::kOne};
  prompt.standing = Conclude(diagnosis(), Checks(), Report(20), i_.step_);
  prompt.options = {{"leave"}, {"also"}};
  // If time did not matter, whatever tells anything would be asked.
  if (prompt.standing->exactness.known && !ChecksThatTell(Checks()).empty())
    prompt.options.push_back({"go_on"});
  prompt.to_measure = static_cast<int>(DueHere().size());
  if (prompt.to_measure > 0) prompt.options.push_back({"measure"});
  Put(std::move(prompt));
}

void InterviewCourse::TakeEnd(const Reply& reply) {
  const int chosen = ChosenOf(reply);
  const std::string does = chosen < 0 ? "leave" : i_.prompt_.options[At(chosen)].id;
  if (does == "also") return PutAlso();
  if (does == "go_on") {
    i_.state_ = AllTheSame(i_.state_);
  } else if (does == "measure") {
    return GoOnMeasuring(true);
  } else {
    return Leave();
  }
  PutStep();
}

}  // namespace gearwhy
