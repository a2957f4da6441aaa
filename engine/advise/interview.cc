#include "engine/advise/interview.h"

#include <algorithm>
#include <map>
#include <utility>

#include "engine/advise/interview_course.h"
#include "engine/files/case_text.h"

namespace gearwhy {
namespace {

bool AllBelow(const std::vector<int>& options, std::size_t most) {
  return std::all_of(options.begin(), options.end(),
                     [&](int option) { return option >= 0 && At(option) < most; });
}

// What each of them was answered for the first time; a second time says nothing more.
std::vector<int> Once(const std::vector<int>& options) {
  std::vector<int> once;
  for (const int option : options) {
    if (std::find(once.begin(), once.end(), option) == once.end()) once.push_back(option);
  }
  return once;
}

}  // namespace

Interview Interview::Begin(std::shared_ptr<const InterviewHost> host, const InterviewBeginning& beginning) {
  return InterviewCourse(Interview(std::move(host))).Begin(beginning);
}

Interview Interview::Answer(const Reply& reply) const& { return InterviewCourse(*this).Answer(reply); }
Interview Interview::Answer(const Reply& reply) && { return InterviewCourse(std::move(*this)).Answer(reply); }

Interview InterviewCourse::Answer(const Reply& reply) {
  if (i_.IsOver()) return std::move(i_);
  Interview before = WithoutDiagnosis();
  i_.prompt_.since.clear();
  i_.prompt_.again = true;
  switch (reply.kind) {
    case Reply::Kind::kCaseText:
      TakeText(reply.text);
      break;
    case Reply::Kind::kNotUnderstood:
      DoNotUnderstand(reply.text);
      break;
    case Reply::Kind::kWord:
      TakeWord(reply);
      break;
    case Reply::Kind::kOptions:
    case Reply::Kind::kText:
      Reply once = reply;
      once.chosen = Once(reply.chosen);
      if (Fits(once)) {
        Take(once);
      } else {
        DoNotUnderstand();
      }
  }
  if (!i_.prompt_.again && keeps_before_) {
    i_.before_ = std::make_shared<const Interview>(std::move(before));
    i_.answered_ = std::move(answered_);
  }
  return std::move(i_);
}

Interview InterviewCourse::WithoutDiagnosis() const {
  Interview before = i_;
  before.prompt_.since.clear();
  before.prompt_.again = false;
  before.known_.reset();
  before.checks_.reset();
  return before;
}

bool InterviewCourse::Fits(const Reply& reply) const {
  const Prompt& prompt = i_.prompt_;
  const std::size_t options = prompt.options.size();
  const bool is_text = reply.kind == Reply::Kind::kText;
  if (!AllBelow(reply.chosen, options) || !AllBelow(reply.unsure, options)) return false;
  if (!is_text && reply.chosen.empty() && reply.unsure.empty()) return prompt.may_pass;
  switch (prompt.takes) {
    case ReplyForm::kNothing:
      return false;
    case ReplyForm::kText:
    case ReplyForm::kQuantity:
      return is_text && (prompt.may_pass || !reply.text.empty());
    case ReplyForm::kOne:
      return !is_text && reply.unsure.empty() && reply.chosen.size() == 1;
    case ReplyForm::kSome:
      return (!is_text || (prompt.takes_names && !reply.text.empty())) && reply.unsure.empty();
    case ReplyForm::kFinding:
    case ReplyForm::kFindings:
      break;
  }
  for (const std::string& name : reply.under) {
    const auto known = words().circumstances.find(name);
    if (known == words().circumstances.end() ||
        std::find(reply.under.begin(), reply.under.end(), known->second.opposite) != reply.under.end())
      return false;
  }
  if (prompt.takes == ReplyForm::kFinding) return reply.unsure.empty() && reply.chosen.size() == 1;
  // "None of these" and "don't know" stand alone.
  const bool alone = reply.chosen.size() + reply.unsure.size() == 1;
  return !is_text && AllBelow(reply.unsure, options - 2) && (alone || AllBelow(reply.chosen, options - 2));
}

void InterviewCourse::Take(const Reply& reply) {
  using Course = InterviewCourse;
  static const std::map<PromptKind, void (Course::*)(const Reply&)> kTake = {
      {PromptKind::kUnit, &Course::TakeUnit},
      {PromptKind::kVariant, &Course::TakeVariant},
      {PromptKind::kVersion, &Course::TakeVersion},
      {PromptKind::kComplaint, &Course::TakeComplaint},
      {PromptKind::kList, &Course::TakeFromList},
      {PromptKind::kMatches, &Course::TakeMatches},
      {PromptKind::kSlot, &Course::TakeSlot},
      {PromptKind::kMeant, &Course::TakeMeant},
      {PromptKind::kName, &Course::TakeName},
      {PromptKind::kHistory, &Course::TakeHistory},
      {PromptKind::kQuantity, &Course::TakeQuantity},
      {PromptKind::kUnitOfNumber, &Course::TakeUnitOfNumber},
      {PromptKind::kFinding, &Course::TakeFindings},
      {PromptKind::kFindings, &Course::TakeFindings},
      {PromptKind::kUnitOut, &Course::TakeUnitOut},
      {PromptKind::kEnd, &Course::TakeEnd},
      {PromptKind::kAlso, &Course::TakeAlso},
      {PromptKind::kSoOrNot, &Course::TakeSoOrNot},
      {PromptKind::kHowKnown, &Course::TakeHowKnown},
      {PromptKind::kCorrectWhich, &Course::TakeCorrectWhich},
      {PromptKind::kCorrectHow, &Course::TakeCorrectHow},
      {PromptKind::kAccess, &Course::TakeAccess},
  };
  (this->*kTake.at(i_.prompt_.kind))(reply);
}

void InterviewCourse::TakeText(const std::string& text) {
  Diagnostics diagnostics;
  auto c = host().read_case(i_.case_ == nullptr ? "" : i_.case_->id, text, diagnostics);
  if (!c) {
    Tell(std::move(diagnostics));
    return Tell(Refused{"the case cannot be read as it is now"});
  }
  i_.text_ = text;
  i_.case_ = std::make_shared<const Case>(std::move(*c));
  // What was said before lacks what the other hand has put in.
  i_.changes_.clear();
  i_.before_.reset();
  keeps_before_ = false;
  i_.prompt_.again = false;
  if (!i_.asking_) return;
  Diagnose(i_.case_) ? PutStep() : Leave();
}

void InterviewCourse::Put(Prompt prompt) {
  prompt.since = std::move(i_.prompt_.since);
  prompt.unit = i_.known_ == nullptr ? nullptr : diagnosis().unit;
  i_.prompt_ = std::move(prompt);
}

void InterviewCourse::Fail() {
  i_.failed_ = true;
  Leave();
}

bool InterviewCourse::Change(const std::vector<CaseChange>& changes, std::string* why) {
  Case expected = *i_.case_;
  std::string text = i_.text_;
  for (const CaseChange& change : changes) {
    auto changed = ChangeCaseText(text, change, words(), why);
    if (!changed) return false;
    if (!ChangeCase(expected, change)) {
      *why = "the case does not say so";
      return false;
    }
    text = std::move(*changed);
  }
  Diagnostics diagnostics;
  auto loaded = host().read_case(i_.case_->id, text, diagnostics);
  if (!loaded) {
    *why = "the case would not load with it:\n" + RenderDiagnostics(diagnostics, *host().sources, 3);
    return false;
  }
  if (!SameCase(*loaded, expected)) {
    *why = "the file is laid out in a way that this could not be put into safely; please put it in by hand";
    return false;
  }
  i_.text_ = std::move(text);
  i_.case_ = std::make_shared<const Case>(std::move(*loaded));
  i_.changes_.insert(i_.changes_.end(), changes.begin(), changes.end());
  return true;
}

bool InterviewCourse::Diagnose(const std::shared_ptr<const Case>& c) {
  Diagnostics diagnostics;
  i_.known_ = nullptr;
  i_.diagnosed_ = c;
  i_.checks_.reset();
  auto diagnosis = host().diagnose(*c, diagnostics);
  if (!diagnostics.Sorted().empty()) Tell(std::move(diagnostics));
  if (!diagnosis) return false;
  i_.known_ = std::make_shared<const Interview::Diagnosed>(Interview::Diagnosed{c, std::move(*diagnosis)});
  return true;
}

bool InterviewCourse::TakeChanges(const Answered& answered) {
  const std::vector<CaseChange>& changes = answered.changes;
  const Interview before = WithoutDiagnosis();
  std::string why;
  if (!Change(changes, &why)) {
    Tell(Refused{why});
    return false;
  }
  const bool was_known = ExactnessOf(diagnosis()).known;
  const FaultChances chances_before = FaultChancesOf(diagnosis());
  if (!Diagnose(i_.case_)) {
    i_.text_ = before.text_;
    i_.case_ = before.case_;
    i_.changes_ = before.changes_;
    Tell(Refused{""});
    Diagnose(i_.case_);
    return false;
  }
  answered_ = answered;
  const bool only_access = std::all_of(changes.begin(), changes.end(),
                                       [](const CaseChange& c) { return c.list == CaseList::kOpen; });
  if (!was_known || !ExactnessOf(diagnosis()).known) {
    Tell(Ranking{Report(5)});
  } else if (!chances_before.empty() && !only_access) {
    Tell(Moved{MovedSuspects(chances_before, diagnosis())});
  }
  return true;
}

}  // namespace gearwhy
