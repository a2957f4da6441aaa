// Findings that are chosen: by the user's own words, or from all that a customer may say; and where they
// differ only in slots, by these.
#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "engine/advise/interview_course.h"
#include "engine/text/ascii.h"

namespace gearwhy {
namespace {

constexpr int kMatchesShown = 6;
constexpr std::size_t kSlotsShown = 12;
constexpr std::size_t kNamedApart = 3;  // of the things that a text names, so many are offered each by itself

std::vector<Statement> FindingsOf(const Diagnosis& diagnosis) {
  std::vector<Statement> findings;
  for (const GroundEvent& event : diagnosis.ground.events) {
    if (event.word->type == WordType::kFinding) findings.push_back(event.statement);
  }
  return findings;
}

// What customers come with: the findings that have words of theirs.
std::vector<Statement> ComplaintsOf(const Diagnosis& diagnosis) {
  std::vector<Statement> findings = FindingsOf(diagnosis);
  const Words& words = diagnosis.book->words;
  const auto is_asked = [&](const Statement& finding) { return !words.Find(finding.name)->ask.empty(); };
  if (std::any_of(findings.begin(), findings.end(), is_asked)) std::erase_if(findings, std::not_fn(is_asked));
  return findings;
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

WordsMatcher InterviewCourse::Matcher(const std::vector<Statement>& findings) const {
  return {findings, words(), host().say_values(diagnosis().unit), &diagnosis().Likeliest().store};
}

// The options for findings of which some differ only in slots.
std::vector<Option> InterviewCourse::OptionsOf(const std::vector<Interview::Offer>& offered) {
  std::vector<Option> options;
  for (const auto& [meant, present] : offered) {
    options.push_back({.id = meant[0].name});
    if (meant.size() == 1)
      options.back() = {.id = StatementId(meant[0]), .statement = meant[0], .present = present};
  }
  return options;
}

// What has no words of a customer's is told later, as seen on the bench or read on a gauge; it is no
// complaint.
void InterviewCourse::MatchText(const std::string& text) {
  i_.choice_ = {};
  i_.choice_.text = text;
  const std::vector<Statement> findings = i_.asking_ ? FindingsOf(diagnosis()) : ComplaintsOf(diagnosis());
  const Understood understood = Matcher(findings).Match(text, kMatchesShown);
  int likeliest = 0;
  for (int i = 0; i < std::ssize(understood.matches); ++i) {
    const WordsMatch& match = understood.matches[At(i)];
    auto& offered = i_.choice_.offered;
    const std::size_t before = offered.size();
    if (match.all_named && (match.meant.size() <= kNamedApart || !match.present)) {
      for (const Statement& meant : match.meant) offered.push_back({{meant}, match.present});
    } else {
      offered.push_back({match.meant, match.present});
    }
    if (i < understood.likeliest) likeliest += static_cast<int>(offered.size() - before);
  }
  if (i_.choice_.offered.empty()) {
    NoteNotUnderstood(text);
    Tell("Nothing in the rulebook sounds like that. Please say it in other words.");
    return EndChoice();
  }
  for (const std::string& part : understood.not_understood) {
    NoteNotUnderstood(part);
    Tell(fmt::format("Not understood: {}.{}", part, likeliest == 0 ? " These come nearest." : ""));
  }
  Prompt prompt{PromptKind::kMatches, ReplyForm::kSome, true};
  prompt.options = OptionsOf(i_.choice_.offered);
  prompt.options.push_back({"say_it_again"});
  prompt.yes_no = prompt.options.size() == 2;
  prompt.likeliest = likeliest;
  Put(std::move(prompt));
}

// Before the case has a text, what nobody understood is kept for it as it was said; a number alone is no
// saying.
void InterviewCourse::NoteNotUnderstood(const std::string& text) {
  auto& kept = i_.not_understood_;
  if (!i_.text_.empty() || std::none_of(text.begin(), text.end(), IsLetter) ||
      std::find(kept.begin(), kept.end(), text) != kept.end())
    return;
  kept.push_back(text);
}

// All that customers come with, by word.
void InterviewCourse::PutList() {
  auto& list = i_.choice_.offered;
  for (const Statement& finding : ComplaintsOf(diagnosis())) {
    const auto same = std::find_if(list.begin(), list.end(), [&](const Interview::Offer& offer) {
      return offer.meant[0].name == finding.name;
    });
    same == list.end() ? list.push_back({{finding}}) : same->meant.push_back(finding);
  }
  std::stable_sort(list.begin(), list.end(), [&](const auto& a, const auto& b) {
    return words().Find(a.meant[0].name)->place < words().Find(b.meant[0].name)->place;
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
  if (i_.choice_.to_narrow.empty()) NoteNotUnderstood(i_.choice_.text);
  NarrowNext();
}

void InterviewCourse::NarrowNext() {
  Interview::Choice& choice = i_.choice_;
  while (!choice.to_narrow.empty()) {
    choice.narrowing = std::move(choice.to_narrow.back());
    choice.to_narrow.pop_back();
    if (choice.narrowing.meant.size() > 1) return PutNarrowing(!choice.text.empty(), 0);
    choice.chosen.push_back({choice.narrowing.meant[0], choice.narrowing.present});
  }
  EndChoice();
}

// Where there are many, one slot after the other, from this one on.
void InterviewCourse::PutNarrowing(bool begins, std::size_t slot) {
  Interview::Choice& choice = i_.choice_;
  const std::vector<Statement>& meant = choice.narrowing.meant;
  if (meant.size() == 1) {
    choice.chosen.push_back({meant[0], choice.narrowing.present});
    return NarrowNext();
  }
  const Word& word = *words().Find(meant[0].name);
  for (choice.slot = slot; meant.size() > kSlotsShown && choice.slot < word.slots.size(); ++choice.slot) {
    const std::vector<Value> values = ValuesOf(meant, choice.slot);
    if (values.size() == 1 || values.size() == meant.size()) continue;
    Prompt prompt{PromptKind::kSlot, ReplyForm::kSome, true};
    prompt.begins = begins;
    prompt.word = word.name;
    prompt.says = word.slots[choice.slot].name;
    prompt.takes_names = true;
    for (const Value& value : values) prompt.options.push_back({.id = ShowValue(value), .value = value});
    return Put(std::move(prompt));
  }
  Prompt prompt{PromptKind::kMeant, ReplyForm::kSome, true};
  prompt.begins = begins;
  prompt.word = word.name;
  prompt.takes_names = true;
  for (const Statement& statement : meant)
    prompt.options.push_back({.id = StatementId(statement), .statement = statement});
  Put(std::move(prompt));
}

void InterviewCourse::TakeSlot(const Reply& reply) {
  Interview::Choice& choice = i_.choice_;
  std::vector<Value> values;
  if (reply.kind == Reply::Kind::kText) {
    const std::string& kind = words().Find(choice.narrowing.meant[0].name)->slots[choice.slot].kind;
    values = Matcher(choice.narrowing.meant).NamedValues(reply.text, kind);
    if (values.empty()) return DoNotUnderstand();
  } else {
    for (const int option : reply.chosen) values.push_back(*i_.prompt_.options[At(option)].value);
  }
  if (values.empty()) return NarrowNext();
  std::vector<Statement> kept = choice.narrowing.meant;
  std::erase_if(kept, [&](const Statement& statement) {
    return std::find(values.begin(), values.end(), statement.slots[choice.slot]) == values.end();
  });
  if (kept.empty()) return DoNotUnderstand();
  choice.narrowing.meant = std::move(kept);
  PutNarrowing(false, choice.slot + 1);
}

void InterviewCourse::TakeMeant(const Reply& reply) {
  Interview::Choice& choice = i_.choice_;
  std::vector<Statement> taken;
  if (reply.kind == Reply::Kind::kText) {
    taken = Matcher(choice.narrowing.meant).Named(reply.text, choice.narrowing.meant);
    if (taken.empty()) return DoNotUnderstand();
  }
  for (const int option : reply.chosen) taken.push_back(choice.narrowing.meant[At(option)]);
  for (const Statement& statement : taken) choice.chosen.push_back({statement, choice.narrowing.present});
  NarrowNext();
}

void InterviewCourse::EndChoice() { i_.asking_ ? TakeAlsoMeant() : TakeComplaints(i_.choice_.chosen); }

}  // namespace gearwhy
