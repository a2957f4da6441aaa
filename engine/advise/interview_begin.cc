// How an interview begins: which unit, what the complaint is in the user's own words, what the case is
// called, what is known of its history.
#include <fmt/format.h>

#include <algorithm>

#include "engine/advise/interview_course.h"
#include "engine/files/case_text.h"
#include "engine/text/ascii.h"
#include "engine/text/fields.h"

namespace gearwhy {
namespace {

constexpr std::size_t kLongestName = 40;

// "no reverse when it's hot!" -> "no-reverse-when-its-hot".
std::string NameFrom(const std::string& title) {
  std::string name;
  for (const char c : title) {
    if (IsLetter(c) || IsDigit(c)) {
      name += Lower(c);
    } else if (c != '\'' && !name.empty() && name.back() != '-') {
      name += '-';
    }
  }
  // Whole words only.
  if (name.size() > kLongestName) name.resize(std::min(name.rfind('-', kLongestName), kLongestName));
  while (!name.empty() && name.back() == '-') name.pop_back();
  return name.empty() ? "case" : name;
}

// What the rulebook says of its history that the interview asks for, in the order of the rulebook.
std::vector<const Word*> HistoryWords(const Words& words) {
  std::vector<const Word*> facts;
  for (const auto& [name, word] : words.words) {
    if (word.history) facts.push_back(&word);
  }
  std::stable_sort(facts.begin(), facts.end(),
                   [](const Word* a, const Word* b) { return a->place < b->place; });
  return facts;
}

}  // namespace

Interview InterviewCourse::Begin(const InterviewBeginning& beginning) {
  i_.name_ = beginning.name;
  if (beginning.text.empty()) {
    if (!beginning.unit.empty() || host().units.empty()) {
      BeginUnit(beginning.unit);
    } else {
      PutUnit();
    }
    return std::move(i_);
  }
  Diagnostics diagnostics;
  auto c = host().read_case(beginning.name, beginning.text, diagnostics);
  if (!c) {
    Tell(std::move(diagnostics));
    Fail();
    return std::move(i_);
  }
  i_.text_ = beginning.text;
  i_.case_ = std::make_shared<const Case>(std::move(*c));
  i_.title_ = i_.case_->title;
  i_.case_->observations.empty() ? BeginComplaints(i_.case_) : StartAsking();
  return std::move(i_);
}

void InterviewCourse::PutUnit() {
  Prompt prompt{PromptKind::kUnit, ReplyForm::kOne};
  Diagnostics diagnostics;
  for (const std::string& name : host().units) {
    if (const Unit* unit = host().find_unit(name, diagnostics)) prompt.options.push_back({name, unit->says});
  }
  // What is merely odd about a unit is told by those who check it.
  if (diagnostics.HasErrors()) Tell(std::move(diagnostics));
  if (prompt.options.empty()) return Fail();
  prompt.options.push_back({"none"});
  Put(std::move(prompt));
}

void InterviewCourse::TakeUnit(const Reply& reply) {
  if (reply.chosen.empty()) return DoNotUnderstand();
  const std::string name = i_.prompt_.options[At(ChosenOf(reply))].id;
  if (At(ChosenOf(reply)) + 1 < i_.prompt_.options.size()) return BeginUnit(name);
  Tell(
      "A unit is described in a file of its own, from its tooth counts and its apply chart: see "
      "rules/README.md and the files in rules/units. Put it into a folder `units` of the shop's rules and "
      "name that with --shop.");
  Leave();
}

// Null where there is none, or after failing.
const Unit* InterviewCourse::FindUnit() {
  if (i_.unit_.empty()) return nullptr;
  Diagnostics diagnostics;
  const Unit* unit = host().find_unit(i_.unit_, diagnostics);
  if (unit == nullptr) {
    Tell(std::move(diagnostics));
    Fail();
  }
  return unit;
}

// Where it has versions, these are asked for after the variant.
void InterviewCourse::BeginUnit(const std::string& name) {
  i_.unit_ = name;
  Prompt prompt{PromptKind::kVariant, ReplyForm::kOne};
  if (const Unit* unit = FindUnit()) {
    for (const Variant& variant : unit->variants) {
      const bool is_pair = !variant.version.empty();
      const std::string& called = is_pair ? variant.variant : variant.name;
      const std::string& says = is_pair ? variant.variant_says : variant.says;
      const bool has = std::any_of(prompt.options.begin(), prompt.options.end(),
                                   [&](const Option& option) { return option.id == called; });
      if (!called.empty() && !has) prompt.options.push_back({called, says.empty() ? called : says});
    }
  } else if (i_.failed_) {
    return;
  }
  if (prompt.options.empty()) return TakeVariant({});
  prompt.options.push_back({"not_known"});
  Put(std::move(prompt));
}

namespace {

// The option of the prompt that was chosen, but for the last, "not known"; empty for none.
std::string NameChosen(const Prompt& prompt, const Reply& reply) {
  const std::size_t chosen = reply.chosen.empty() ? prompt.options.size() : At(ChosenOf(reply));
  return chosen + 1 < prompt.options.size() ? prompt.options[chosen].id : "";
}

}  // namespace

void InterviewCourse::TakeVariant(const Reply& reply) {
  i_.variant_ = NameChosen(i_.prompt_, reply);
  Prompt prompt{PromptKind::kVersion, ReplyForm::kOne};
  if (const Unit* unit = FindUnit()) {
    for (const Variant& version : unit->versions)
      prompt.options.push_back({version.name, version.says.empty() ? version.name : version.says});
  } else if (i_.failed_) {
    return;
  }
  if (prompt.options.empty()) return TakeVersion({});
  prompt.options.push_back({"not_known"});
  Put(std::move(prompt));
}

void InterviewCourse::TakeVersion(const Reply& reply) {
  if (i_.prompt_.kind == PromptKind::kVersion) i_.version_ = NameChosen(i_.prompt_, reply);
  Case blank;
  blank.id = "case";
  blank.unit = i_.unit_;
  blank.variant = i_.variant_;
  blank.version = i_.version_;
  BeginComplaints(std::make_shared<const Case>(std::move(blank)));
}

void InterviewCourse::BeginComplaints(std::shared_ptr<const Case> c) {
  Diagnose(c) ? PutComplaint(true) : Fail();
}

void InterviewCourse::PutComplaint(bool first) {
  Prompt prompt{PromptKind::kComplaint, ReplyForm::kText, true};
  prompt.begins = first;
  for (const auto& [complaint, present] : i_.complaints_)
    prompt.options.push_back({.id = StatementId(complaint), .statement = complaint, .present = present});
  Put(std::move(prompt));
}

void InterviewCourse::TakeComplaint(const Reply& reply) {
  if (reply.text.empty()) {
    if (!i_.complaints_.empty()) return EndComplaints();
    return Tell("There has to be a complaint to begin with. Say list to see what is known, or leave.");
  }
  i_.choice_ = {};
  if (reply.text == "list") return PutList();
  MatchText(reply.text);
}

void InterviewCourse::TakeComplaints(const std::vector<Interview::ToldFinding>& meant) {
  for (const Interview::ToldFinding& told : meant) {
    const bool known =
        std::any_of(i_.complaints_.begin(), i_.complaints_.end(),
                    [&](const Interview::ToldFinding& other) { return other.statement == told.statement; });
    if (known) continue;
    if (i_.title_.empty()) {
      i_.title_ = i_.choice_.text.empty() ? host().say(diagnosis().unit, told.statement) : i_.choice_.text;
      i_.title_[0] = Upper(i_.title_[0]);
    }
    Tell(Complained{told.statement, told.present});
    i_.complaints_.push_back(told);
  }
  PutComplaint(false);
}

void InterviewCourse::EndComplaints() {
  if (i_.case_ != nullptr) return AddComplaints(false);
  i_.name_.empty() ? PutName() : BeginCase();
}

void InterviewCourse::PutName() {
  Prompt prompt{PromptKind::kName, ReplyForm::kText, true};
  prompt.says = NameFrom(i_.title_);
  for (int n = 2; host().is_taken(prompt.says); ++n)
    prompt.says = fmt::format("{}-{}", NameFrom(i_.title_), n);
  Put(std::move(prompt));
}

void InterviewCourse::TakeName(const Reply& reply) {
  std::string name = reply.text.empty() ? i_.prompt_.says : reply.text;
  if (name.ends_with(".yaml")) name.resize(name.size() - 5);
  if (!IsName(name)) {
    Tell("Letters, digits, - and _ only, please.");
  } else if (host().is_taken(name)) {
    Tell(fmt::format("{}.yaml is there already.", name));
  } else {
    i_.name_ = name;
    return BeginCase();
  }
  PutName();
}

void InterviewCourse::BeginCase() {
  std::string note;
  for (const std::string& text : i_.not_understood_) note += (note.empty() ? "Also said: " : "; ") + text;
  i_.text_ = NewCaseText(i_.name_, i_.title_, i_.unit_, i_.variant_, i_.version_, note);
  Diagnostics diagnostics;
  auto c = host().read_case(i_.name_, i_.text_, diagnostics);
  if (!c) {
    Tell(std::move(diagnostics));
    i_.text_.clear();
    return Fail();
  }
  i_.case_ = std::make_shared<const Case>(std::move(*c));
  AddComplaints(true);
}

void InterviewCourse::AddComplaints(bool is_new) {
  std::vector<CaseChange> changes;
  for (const auto& [complaint, present] : i_.complaints_) {
    CaseChange change;
    change.list = CaseList::kComplaint;
    change.statement = complaint;
    change.present = present;
    change.trust = words().TrustOfComplaints().name;
    changes.push_back(std::move(change));
  }
  std::string why;
  bool any = Change(changes, &why);
  if (!any) {
    // One of them may contradict another: what can be taken is.
    for (const CaseChange& change : changes) {
      const bool taken = Change({change}, &why);
      any = any || taken;
      if (!taken) Tell(Refused{why});
    }
  }
  if (!any) return Fail();
  is_new ? PutHistory() : StartAsking();
}

void InterviewCourse::PutHistory() {
  Prompt prompt{PromptKind::kHistory, ReplyForm::kSome, true};
  for (const Word* word : HistoryWords(words())) prompt.options.push_back({word->name});
  if (prompt.options.empty()) return StartAsking();
  Put(std::move(prompt));
}

void InterviewCourse::TakeHistory(const Reply& reply) {
  std::vector<CaseChange> facts;
  std::vector<std::vector<int>> quantities;
  for (const int option : reply.chosen) {
    const Word& word = *words().Find(i_.prompt_.options[At(option)].id);
    CaseChange change;
    change.list = CaseList::kHistory;
    change.statement.name = word.name;
    change.statement.slots.resize(word.slots.size());
    facts.push_back(std::move(change));
    quantities.emplace_back();
    for (std::size_t i = 0; i < word.slots.size(); ++i) quantities.back().push_back(static_cast<int>(i));
  }
  AskNumbers(facts, quantities);
}

}  // namespace gearwhy
