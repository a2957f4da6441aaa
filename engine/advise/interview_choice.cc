// Findings that are chosen: by the user's own words, or from all that a customer may say; and where they
// differ only in slots, by these.
#include <algorithm>

#include "engine/advise/interview_course.h"

namespace gearwhy {
namespace {

constexpr int kMatchesShown = 6;
constexpr std::size_t kSlotsShown = 12;

std::vector<Statement> FindingsOf(const Diagnosis& diagnosis) {
  std::vector<Statement> findings;
  for (const GroundEvent& event : diagnosis.ground.events) {
    if (event.word->type == WordType::kFinding) findings.push_back(event.statement);
  }
  return findings;
}

// The options for findings of which some differ only in slots.
std::vector<Option> OptionsOf(const std::vector<std::vector<Statement>>& offered) {
  std::vector<Option> options;
  for (const std::vector<Statement>& meant : offered) {
    options.push_back({.id = meant[0].name});
    if (meant.size() == 1) options.back() = {.id = StatementId(meant[0]), .statement = meant[0]};
  }
  return options;
}

// What differs in the slot, sorted.
std::vector<Value> ValuesOf(const std::vector<Statement>& statements, std::size_t slot) {
  std::vector<Value> values;
  for (const Statement& statement : statements) values.push_back(statement.slots[slot]);
  std::sort(values.begin(), values.end());
  values.erase(std::unique(values.begin(), values.end()), values.end());
  return values;
}

}  // namespace

void InterviewCourse::MatchText(const std::string& text) {
  i_.choice_ = {};
  i_.choice_.text = text;
  const SayValueOf say_value = host().say_values(diagnosis().unit);
  for (WordsMatch& match : MatchFindings(text, FindingsOf(diagnosis()), words(), say_value, kMatchesShown))
    i_.choice_.offered.push_back(std::move(match.meant));
  if (i_.choice_.offered.empty()) {
    Tell("Nothing in the rulebook sounds like that. Please say it in other words.");
    return EndChoice();
  }
  Prompt prompt{PromptKind::kMatches, ReplyForm::kSome, true};
  prompt.options = OptionsOf(i_.choice_.offered);
  prompt.options.push_back({"say_it_again"});
  prompt.yes_no = prompt.options.size() == 2;
  Put(std::move(prompt));
}

// What customers come with: the findings that have words of theirs, by word.
void InterviewCourse::PutList() {
  const std::vector<Statement> findings = FindingsOf(diagnosis());
  const bool any_asked = std::any_of(findings.begin(), findings.end(), [&](const Statement& finding) {
    return !words().Find(finding.name)->ask.empty();
  });
  auto& list = i_.choice_.offered;
  for (const Statement& finding : findings) {
    if (any_asked && words().Find(finding.name)->ask.empty()) continue;
    const auto same = std::find_if(list.begin(), list.end(),
                                   [&](const auto& meant) { return meant[0].name == finding.name; });
    same == list.end() ? list.push_back({finding}) : same->push_back(finding);
  }
  std::stable_sort(list.begin(), list.end(), [&](const auto& a, const auto& b) {
    return words().Find(a[0].name)->place < words().Find(b[0].name)->place;
  });
  Prompt prompt{PromptKind::kList, ReplyForm::kOne, true};
  prompt.options = OptionsOf(list);
  Put(std::move(prompt));
}

void InterviewCourse::TakeFromList(const Reply& reply) {
  if (!reply.chosen.empty()) i_.choice_.to_narrow = {i_.choice_.offered[At(ChosenOf(reply))]};
  NarrowNext();
}

void InterviewCourse::TakeMatches(const Reply& reply) {
  for (auto option = reply.chosen.rbegin(); option != reply.chosen.rend(); ++option) {
    if (At(*option) < i_.choice_.offered.size())
      i_.choice_.to_narrow.push_back(i_.choice_.offered[At(*option)]);
  }
  NarrowNext();
}

void InterviewCourse::NarrowNext() {
  Interview::Choice& choice = i_.choice_;
  while (!choice.to_narrow.empty()) {
    choice.narrowing = std::move(choice.to_narrow.back());
    choice.to_narrow.pop_back();
    if (choice.narrowing.size() > 1) return PutNarrowing(!choice.text.empty());
    choice.chosen.push_back(choice.narrowing[0]);
  }
  EndChoice();
}

// Where there are many, one slot after the other.
void InterviewCourse::PutNarrowing(bool begins) {
  Interview::Choice& choice = i_.choice_;
  const std::vector<Statement>& meant = choice.narrowing;
  if (meant.size() == 1) {
    choice.chosen.push_back(meant[0]);
    return NarrowNext();
  }
  const Word& word = *words().Find(meant[0].name);
  for (choice.slot = 0; meant.size() > kSlotsShown && choice.slot < word.slots.size(); ++choice.slot) {
    const std::vector<Value> values = ValuesOf(meant, choice.slot);
    if (values.size() == 1 || values.size() == meant.size()) continue;
    const Slot& slot = word.slots[choice.slot];
    Prompt prompt{PromptKind::kSlot, ReplyForm::kOne, true};
    prompt.begins = begins;
    prompt.word = word.name;
    prompt.says = slot.name;
    for (const Value& value : values) prompt.options.push_back({.id = ShowValue(value), .value = value});
    return Put(std::move(prompt));
  }
  Prompt prompt{PromptKind::kMeant, ReplyForm::kSome, true};
  prompt.begins = begins;
  prompt.word = word.name;
  for (const Statement& statement : meant)
    prompt.options.push_back({.id = StatementId(statement), .statement = statement});
  Put(std::move(prompt));
}

void InterviewCourse::TakeSlot(const Reply& reply) {
  if (reply.chosen.empty()) return NarrowNext();
  const Value value = ValuesOf(i_.choice_.narrowing, i_.choice_.slot)[At(ChosenOf(reply))];
  std::erase_if(i_.choice_.narrowing,
                [&](const Statement& statement) { return statement.slots[i_.choice_.slot] != value; });
  PutNarrowing(false);
}

void InterviewCourse::TakeMeant(const Reply& reply) {
  for (const int option : reply.chosen) i_.choice_.chosen.push_back(i_.choice_.narrowing[At(option)]);
  NarrowNext();
}

void InterviewCourse::EndChoice() { i_.asking_ ? TakeAlsoMeant() : TakeComplaints(i_.choice_.chosen); }

}  // namespace gearwhy
