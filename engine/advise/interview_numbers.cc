// Numbers, one after the other: what a check measures, what the history counts, and what is put right.
#include <fmt/format.h>

#include <algorithm>

#include "engine/advise/interview_course.h"
#include "engine/advise/read_reply.h"

namespace gearwhy {
void InterviewCourse::AskNumbers(const std::vector<CaseChange>& facts,
                                 const std::vector<std::vector<int>>& quantities,
                                 const std::optional<DueMeasurement>& due) {
  i_.numbers_ = {};
  i_.numbers_.due = due;
  i_.numbers_.facts = facts;
  i_.numbers_.quantities = quantities;
  for (CaseChange& fact : i_.numbers_.facts) fact.written.resize(fact.statement.slots.size());
  PutNumber();
}

// Who corrects a number knows what it is about; each of the others is told once.
Prompt InterviewCourse::QuantityPrompt() const {
  const Interview::Numbers& numbers = i_.numbers_;
  const CaseChange& fact = numbers.facts[numbers.fact];
  const std::vector<int>& quantities = numbers.quantities[numbers.fact];
  const Word& word = *words().Find(fact.statement.name);
  const Slot& slot = word.slots[At(quantities[numbers.quantity])];
  const bool on_bench = i_.numbers_.due.has_value();
  const bool measured = i_.asking_ && !i_.aside_ && !on_bench;
  Prompt prompt{PromptKind::kQuantity, ReplyForm::kQuantity, true};
  const bool named = i_.aside_ || (measured && quantities.size() > 1);
  prompt.quantity = {named ? slot.name : "", fact.statement, quantities, numbers.quantity == 0 || !i_.asking_,
                     *slot.dimension,        slot.range};
  if (i_.aside_) prompt.quantity->first = false;
  prompt.due = numbers.due;
  if (on_bench) {
    prompt.to_measure = static_cast<int>(DueHere().size());
    prompt.cautions = numbers.due->cautions;
  }
  if (measured) {
    prompt.question = i_.step_.question;
    prompt.begins = numbers.fact == 0 && numbers.quantity == 0;
    prompt.goes_on = i_.state_.going_on == prompt.question->check.key;
  }
  return prompt;
}

void InterviewCourse::PutNumber() {
  Interview::Numbers& numbers = i_.numbers_;
  for (; numbers.fact < numbers.facts.size(); ++numbers.fact, numbers.quantity = 0) {
    if (numbers.quantity < numbers.quantities[numbers.fact].size()) return Put(QuantityPrompt());
    numbers.whole.push_back(numbers.facts[numbers.fact]);
  }
  EndNumbers();
}

void InterviewCourse::TakeQuantity(const Reply& reply) { TakeNumber(reply.text); }

void InterviewCourse::TakeNumber(const std::string& text) {
  Interview::Numbers& numbers = i_.numbers_;
  const WantedQuantity wanted = *i_.prompt_.quantity;
  if (text.empty()) {
    numbers.quantity = 0;
    ++numbers.fact;
    return PutNumber();
  }
  const ReadNumber read = ReadQuantity(text, wanted);
  if (read.number) {
    CaseChange& fact = numbers.facts[numbers.fact];
    const std::size_t slot = At(numbers.quantities[numbers.fact][numbers.quantity]);
    fact.statement.slots[slot] = *read.number;
    fact.written[slot] = text;
    ++numbers.quantity;
    return PutNumber();
  }
  if (i_.prompt_.kind == PromptKind::kQuantity && read.lacks_unit) {
    Prompt prompt{PromptKind::kUnitOfNumber, ReplyForm::kOne};
    prompt.yes_no = true;
    prompt.says = fmt::format("{} {}", text, BaseUnit(wanted.dimension));
    prompt.options = {{"yes"}, {"no"}};
    prompt.quantity = wanted;
    return Put(std::move(prompt));
  }
  Prompt prompt = QuantityPrompt();
  prompt.again = i_.prompt_.kind == PromptKind::kQuantity;
  Put(std::move(prompt));
  DoNotUnderstand(read.why);
}

void InterviewCourse::TakeUnitOfNumber(const Reply& reply) {
  if (ChosenOf(reply) == 0) return TakeNumber(i_.prompt_.says);
  Put(QuantityPrompt());
}

void InterviewCourse::EndNumbers() {
  const std::vector<CaseChange> whole = i_.numbers_.whole;
  if (i_.aside_) {  // a correction: of the one entry
    if (!whole.empty()) TakeChanges({{i_.corrected_, whole[0]}, {}, i_.corrected_});
    return PutStep();
  }
  if (i_.numbers_.due) return TakeMeasurement();
  if (i_.asking_) return TakeMeasured();
  std::string why;
  if (!whole.empty() && !Change(whole, &why)) Tell(Refused{why});
  StartAsking();
}

}  // namespace gearwhy
