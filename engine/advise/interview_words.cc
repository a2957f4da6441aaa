// What the plain words do: why, ranking, reason, back, correct, access, also, later, help, leave.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <limits>

#include "engine/advise/interview_course.h"
#include "engine/model/access.h"
#include "engine/text/ascii.h"

namespace gearwhy {
namespace {

// Whether a text denies something.
bool HasNo(const std::string& text) {
  std::string word;
  for (const char c : text + " ") {
    if (IsLetter(c) || c == '\'') {
      word += Lower(c);
      continue;
    }
    if (word == "no" || word == "not" || word == "never" || word == "without" || word.ends_with("n't"))
      return true;
    word.clear();
  }
  return false;
}

std::vector<int> QuantitiesOf(const Word& word) {
  std::vector<int> quantities;
  for (std::size_t i = 0; i < word.slots.size(); ++i) {
    if (word.slots[i].dimension) quantities.push_back(static_cast<int>(i));
  }
  return quantities;
}

bool IsReport(const CaseChange& change) {
  return change.list == CaseList::kObserved || change.list == CaseList::kComplaint;
}

// What the case says, one after the other, each with the change that takes it out.
std::vector<Option> ListEntries(const Case& c) {
  std::vector<Option> options;
  const auto add = [&](CaseList list, const Statement& statement) -> CaseChange& {
    CaseChange remove;
    remove.kind = CaseChange::Kind::kRemove;
    remove.list = list;
    remove.statement = statement;
    options.push_back({.id = StatementId(statement), .entry = std::move(remove)});
    return *options.back().entry;
  };
  for (const Observation& o : c.observations) {
    CaseChange& change = add(o.complaint ? CaseList::kComplaint : CaseList::kObserved, o.event);
    change.present = o.present;
    change.trust = o.trust;
    change.under = o.under;
    change.note = o.note;
  }
  for (const CaseFact& fact : c.facts)
    add(fact.measured ? CaseList::kMeasured : CaseList::kHistory, fact.statement);
  for (const CaseFact& unknown : c.unknown) add(CaseList::kUnknown, unknown.statement);
  return options;
}

}  // namespace

void InterviewCourse::TakeWord(const Reply& reply) {
  if (DoWord(reply)) return;
  const Prompt& prompt = i_.prompt_;
  if (prompt.kind == PromptKind::kName) return PutName();
  if (reply.word != PlainWord::kDontKnow) return Take({});
  Reply unknown;
  if (prompt.takes == ReplyForm::kFinding || prompt.takes == ReplyForm::kFindings) {
    unknown.chosen = {static_cast<int>(prompt.options.size()) - 1};
  } else if (prompt.takes != ReplyForm::kText && prompt.takes != ReplyForm::kQuantity) {
    return DoNotUnderstand();
  }
  Take(unknown);
}

// False for a word that is an answer to the prompt.
bool InterviewCourse::DoWord(const Reply& reply) {
  const PlainWord word = reply.word;
  if (word == PlainWord::kLeave) {
    Leave();
  } else if (word == PlainWord::kHelp) {
    Tell(Helped{});
  } else if (word == PlainWord::kBack) {
    Back();
  } else if (word == PlainWord::kDontKnow || (word == PlainWord::kLater && (!i_.asking_ || i_.aside_))) {
    return false;
  } else if (!i_.asking_) {
    Tell("That comes later, when there is a complaint.");
  } else if (word == PlainWord::kWhy) {
    TellWhy();
  } else if (word == PlainWord::kRanking) {
    Tell(Ranking{Report(10)});
  } else if (word == PlainWord::kReason) {
    TellReason(reply.text);
  } else if (word == PlainWord::kCorrect) {
    PutCorrectWhich();
  } else if (word == PlainWord::kAccess) {
    PutAccess();
  } else if (word == PlainWord::kAlso) {
    reply.text.empty() ? PutAlso() : TellAlso(reply.text);
  } else if (word == PlainWord::kMeasure) {
    if (!i_.state_.measuring && DueHere().empty())
      Tell("Nothing is to be measured with what is open, or the unit is in.");
    else
      GoOnMeasuring(!i_.state_.measuring);
  } else if (word == PlainWord::kLater) {
    const std::string& key = i_.step_.question.check.key;
    if (key.empty() || i_.prompt_.due) return false;
    i_.state_.passed.insert(key);
    i_.state_.going_on.clear();
    PutStep();
  } else {
    return false;
  }
  return true;
}

void InterviewCourse::TellWhy() {
  if (i_.prompt_.due)
    return Tell(
        "What is measured says what can be used again, and how likely its faults are. gearwhy bench shows "
        "all of it.");
  WhyAsked why{i_.step_.question};
  if (why.question.check.key.empty()) return Tell("Nothing is being asked of the car just now.");
  WorkOutMoves(diagnosis(), Checks(), why.question.check, std::numeric_limits<double>::infinity());
  Tell(std::move(why));
}

void InterviewCourse::TellReason(const std::string& which) {
  const RankReport report = Report(20);
  std::size_t number = which.empty() ? 1 : 0;
  const auto [end, error] = std::from_chars(which.data(), which.data() + which.size(), number);
  const bool whole = which.empty() || (error == std::errc() && end == which.data() + which.size());
  if (!whole || number < 1 || number > report.suspects.size()) {
    Tell(fmt::format("Say the number of a suspect, as in reason 2; there are {}.", report.suspects.size()));
    return;
  }
  Tell(MakeWhyReport(diagnosis(), report.suspects[number - 1].event, diagnosis().limits));
}

void InterviewCourse::Back() {
  if (i_.before_ == nullptr)
    return Tell("Nothing of this session is left to take back; say correct to change an older answer.");
  keeps_before_ = false;
  Answered answered = i_.answered_;
  Interview before = *i_.before_;
  const auto known = i_.known_;
  i_ = std::move(before);
  if (!answered.changes.empty()) Tell(std::move(answered));
  if (i_.diagnosed_ == nullptr) return;
  if (known != nullptr && known->c == i_.diagnosed_) {
    i_.known_ = known;
  } else if (!Diagnose(i_.diagnosed_)) {
    Leave();
  }
}

void InterviewCourse::PutAlso() {
  i_.aside_ = true;
  Put({PromptKind::kAlso, ReplyForm::kText, true});
}

void InterviewCourse::TakeAlso(const Reply& reply) { reply.text.empty() ? PutStep() : TellAlso(reply.text); }

void InterviewCourse::TellAlso(const std::string& text) {
  i_.aside_ = true;
  MatchText(text);
}

void InterviewCourse::TakeAlsoMeant() {
  const Interview::Choice& choice = i_.choice_;
  if (choice.chosen.empty()) return PutStep();
  // "the fluid is not burnt" is found by the words it has in common with "the fluid smells burnt".
  // Where the denial was understood, the sentence that was chosen says so itself.
  const bool denies =
      HasNo(choice.text) && std::none_of(choice.chosen.begin(), choice.chosen.end(), [&](const auto& told) {
        return !told.present || HasNo(words().Find(told.statement.name)->says);
      });
  if (!denies) return PutHowKnown();
  Prompt prompt{PromptKind::kSoOrNot, ReplyForm::kOne};
  prompt.yes_no = true;
  prompt.options = {{.id = "so"}, {.id = "not_so", .present = false}};
  if (choice.chosen.size() == 1) {
    for (Option& option : prompt.options) option.statement = choice.chosen[0].statement;
  }
  Put(std::move(prompt));
}

void InterviewCourse::TakeSoOrNot(const Reply& reply) {
  if (reply.chosen.empty()) return PutStep();
  i_.choice_.present = ChosenOf(reply) == 0;
  PutHowKnown();
}

void InterviewCourse::PutHowKnown() {
  if (words().trusts.size() == 1) return AddTold(words().trusts[0]);
  Prompt prompt{PromptKind::kHowKnown, ReplyForm::kOne};
  for (const Trust& trust : words().trusts) prompt.options.push_back({trust.name});
  Put(std::move(prompt));
}

void InterviewCourse::TakeHowKnown(const Reply& reply) {
  reply.chosen.empty() ? PutStep() : AddTold(words().trusts[At(ChosenOf(reply))]);
}

void InterviewCourse::AddTold(const Trust& trust) {
  std::vector<CaseChange> changes;
  for (const Interview::ToldFinding& told : i_.choice_.chosen) {
    CaseChange change;
    change.statement = told.statement;
    change.present = told.present == i_.choice_.present;
    change.trust = trust.name;
    const auto& observations = i_.case_->observations;
    const bool known = std::any_of(observations.begin(), observations.end(), [&](const Observation& o) {
      return o.event == told.statement && o.trust == change.trust;
    });
    if (known) {
      Tell("The case says so already, or the contrary, on the same authority; say correct to change it.");
      continue;
    }
    changes.push_back(std::move(change));
  }
  if (!changes.empty()) TakeChanges({changes});
  PutStep();
}

void InterviewCourse::PutCorrectWhich() {
  i_.aside_ = true;
  Prompt prompt{PromptKind::kCorrectWhich, ReplyForm::kOne, true};
  prompt.options = ListEntries(*i_.case_);
  if (!prompt.options.empty()) return Put(std::move(prompt));
  Tell("The case says nothing yet.");
  PutStep();
}

void InterviewCourse::TakeCorrectWhich(const Reply& reply) {
  if (reply.chosen.empty()) return PutStep();
  const CaseChange entry = *i_.prompt_.options[At(ChosenOf(reply))].entry;
  i_.corrected_ = entry;
  Prompt prompt{PromptKind::kCorrectHow, ReplyForm::kOne, true};
  prompt.options = {{"take_out"}};
  if (IsReport(entry)) {
    prompt.options.push_back({.id = "contrary", .statement = entry.statement, .present = !entry.present});
  } else if (entry.list != CaseList::kUnknown && !QuantitiesOf(*words().Find(entry.statement.name)).empty()) {
    prompt.options.push_back({"another_number"});
  }
  prompt.options.push_back({"leave_it"});
  Put(std::move(prompt));
}

void InterviewCourse::TakeCorrectHow(const Reply& reply) {
  const std::string way = reply.chosen.empty() ? "leave_it" : i_.prompt_.options[At(ChosenOf(reply))].id;
  const CaseChange entry = i_.corrected_;
  CaseChange instead = Reversed(entry);
  if (way == "another_number")
    return AskNumbers({instead}, {QuantitiesOf(*words().Find(entry.statement.name))});
  instead.present = !instead.present;
  if (way == "take_out") TakeChanges({{entry}, {}, entry});
  if (way == "contrary") TakeChanges({{entry, instead}, {}, entry});
  PutStep();
}

void InterviewCourse::PutAccess() {
  i_.aside_ = true;
  const std::set<std::string> open = OpenAccess(words(), i_.case_->open);
  Prompt prompt{PromptKind::kAccess, ReplyForm::kOne, true};
  for (const std::string& name : AccessInOrder(words())) {
    Option option{name};
    if (!open.contains(name)) option.minutes = MinutesToReach(words(), name, open);
    prompt.options.push_back(std::move(option));
  }
  if (!prompt.options.empty()) return Put(std::move(prompt));
  Tell("The rulebook knows no access.");
  PutStep();
}

void InterviewCourse::TakeAccess(const Reply& reply) {
  if (reply.chosen.empty()) return PutStep();
  const std::string name = i_.prompt_.options[At(ChosenOf(reply))].id;
  std::vector<CaseChange> changes;
  CaseChange change;
  change.list = CaseList::kOpen;
  if (!OpenAccess(words(), i_.case_->open).contains(name)) {
    change.access = name;
    changes.push_back(change);
  } else {
    // Whatever lies behind it is closed as well; what lies before it stays open.
    change.kind = CaseChange::Kind::kRemove;
    for (const std::string& stated : i_.case_->open) {
      if (!OpenWith(words(), stated).contains(name)) continue;
      change.access = stated;
      changes.push_back(change);
    }
    change.kind = CaseChange::Kind::kAdd;
    change.access = words().access.find(name)->second.from;
    if (!IsStart(words(), change.access)) changes.push_back(change);
  }
  TakeChanges({changes});
  PutStep();
}

}  // namespace gearwhy
