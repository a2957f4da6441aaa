// Join: see join.h.
#include "engine/chain/join.h"

#include <algorithm>
#include <cassert>
#include <tuple>

#include "engine/text/at.h"

namespace gearwhy {

namespace {

using Kind = Condition::Kind;

// Number with number: by size, of the right one the share. Name with name: the same or not. Number with name:
// nothing holds.
bool Holds(const Value& left, Comparison comparison, const Value& whole, double share) {
  const double* number = std::get_if<double>(&whole);
  const Value right = number != nullptr ? Value(*number * share) : whole;
  if (left.index() != right.index()) return false;
  const bool numbers = std::holds_alternative<double>(left);
  switch (comparison) {
    case Comparison::kEqual:
      return left == right;
    case Comparison::kNotEqual:
      return left != right;
    case Comparison::kLess:
      return numbers && left < right;
    case Comparison::kLessOrEqual:
      return numbers && left <= right;
    case Comparison::kGreaterOrEqual:
      return numbers && left >= right;
    case Comparison::kGreater:
      return numbers && left > right;
  }
  return false;
}

// Calls `visit` with each term of a condition.
template <typename Visit>
void ForEachTerm(const Condition& condition, Visit visit) {
  if (condition.kind == Kind::kCompare) {
    visit(condition.left);
    visit(condition.right);
  } else {
    for (const Term& term : condition.pattern.terms) visit(term);
  }
}

}  // namespace

ValueId ValueNumbers::Number(const Value& value) {
  if (const std::optional<ValueId> id = store_.FindValue(value)) return *id;
  others_.push_back(value);
  return -static_cast<ValueId>(others_.size());
}

const Value& ValueNumbers::Get(ValueId id) const {
  assert(id != kUnbound);
  return id >= 0 ? store_.GetValue(id) : others_[At(-(id + 1))];
}

VariableNumbers::VariableNumbers(const std::vector<Condition>& conditions, const Bindings& given) {
  for (const Condition& condition : conditions) {
    ForEachTerm(condition, [this](const Term& term) {
      if (const auto* variable = std::get_if<Variable>(&term)) names_.push_back(variable->name);
    });
  }
  for (const Binding& binding : given) names_.push_back(binding.variable);
  std::sort(names_.begin(), names_.end());
  names_.erase(std::unique(names_.begin(), names_.end()), names_.end());
}

int VariableNumbers::Number(const std::string& name) const {
  const auto place = std::lower_bound(names_.begin(), names_.end(), name);
  if (place == names_.end() || *place != name) return -1;
  return static_cast<int>(place - names_.begin());
}

Bindings VariableNumbers::Show(const std::vector<ValueId>& values, const ValueNumbers& value_numbers) const {
  Bindings bindings;
  bindings.reserve(names_.size());
  for (std::size_t i = 0; i < names_.size(); ++i) {
    if (values[i] != kUnbound) bindings.push_back({names_[i], value_numbers.Get(values[i])});
  }
  return bindings;
}

NumberedTerm NumberTerm(const Term& term, const VariableNumbers& variables, ValueNumbers& values) {
  if (const auto* variable = std::get_if<Variable>(&term)) {
    return {NumberedTerm::Kind::kVariable, variables.Number(variable->name)};
  }
  if (const auto* value = std::get_if<Value>(&term))
    return {NumberedTerm::Kind::kValue, values.Number(*value)};
  return {};
}

Join::Join(const std::vector<Condition>& conditions, const VariableNumbers& variables,
           ValueNumbers& value_numbers, const FactStore& store, std::vector<ValueId> bound,
           const std::vector<FactRange>& ranges, int begin_with)
    : value_numbers_(value_numbers), store_(store), values_(std::move(bound)), facts_(conditions.size(), -1) {
  assert(values_.size() == variables.size() && ranges.size() == conditions.size());
  Plan(conditions, variables, ranges, begin_with);
}

void Join::Plan(const std::vector<Condition>& conditions, const VariableNumbers& variables,
                const std::vector<FactRange>& ranges, int begin_with) {
  std::vector<Step> waiting(conditions.size());
  for (std::size_t i = 0; i < conditions.size(); ++i) {
    Step& step = waiting[i];
    step.condition = &conditions[i];
    step.index = i;
    step.range = ranges[i];
    if (step.condition->kind == Kind::kCompare) {
      step.left = NumberTerm(step.condition->left, variables, value_numbers_);
      step.right = NumberTerm(step.condition->right, variables, value_numbers_);
      continue;
    }
    const Pattern& pattern = step.condition->pattern;
    step.relation = store_.FindRelation(step.condition->sense, pattern.name);
    step.slot_count = pattern.terms.size();
    for (std::size_t slot = 0; slot < pattern.terms.size(); ++slot) {
      const NumberedTerm term = NumberTerm(pattern.terms[slot], variables, value_numbers_);
      if (term.kind != NumberedTerm::Kind::kAnything) step.tests.push_back({slot, term, false, false});
    }
  }

  std::vector<bool> bound(variables.size());
  for (std::size_t i = 0; i < bound.size(); ++i) bound[i] = values_[i] != kUnbound;
  const auto is_bound = [&bound](const NumberedTerm& term) {
    return term.kind == NumberedTerm::Kind::kValue ||
           (term.kind == NumberedTerm::Kind::kVariable && bound[At(term.number)]);
  };
  // Smaller is sooner: filters that can be decided, the condition to begin with, statements, filters that
  // cannot be (the loader has refused those, but the order is total all the same).
  const auto urgency = [&](const Step& step) {
    std::size_t bound_slots = 0;
    for (const SlotTest& test : step.tests) bound_slots += is_bound(test.term) ? 1U : 0U;
    const std::size_t size = step.relation ? store_.InRelation(*step.relation).size() : 0;
    const bool decided = step.condition->kind == Kind::kCompare ? is_bound(step.left) && is_bound(step.right)
                                                                : bound_slots == step.tests.size();
    int rank = 2;
    if (step.condition->kind != Kind::kStatement) {
      rank = decided ? 0 : 3;
    } else if (static_cast<int>(step.index) == begin_with) {
      rank = 1;
    }
    return std::tuple(rank, rank == 2 ? step.slot_count - bound_slots > 0 : false,
                      -static_cast<long>(bound_slots), size, step.index);
  };
  while (!waiting.empty()) {
    const auto best = std::min_element(waiting.begin(), waiting.end(),
                                       [&](const Step& a, const Step& b) { return urgency(a) < urgency(b); });
    PlanTests(*best, bound);
    steps_.push_back(std::move(*best));
    waiting.erase(best);
  }
}

void Join::PlanTests(Step& step, std::vector<bool>& bound) {
  const bool may_bind = step.condition->kind == Kind::kStatement;
  std::vector<std::size_t> binds_here;
  std::size_t known = 0;
  for (SlotTest& test : step.tests) {
    if (test.term.kind == NumberedTerm::Kind::kValue) {
      test.known_before = true;
    } else {
      const auto variable = static_cast<std::size_t>(test.term.number);
      const bool here = std::find(binds_here.begin(), binds_here.end(), variable) != binds_here.end();
      if (!bound[variable] && !here) {
        test.binds = true;
        binds_here.push_back(variable);
      } else {
        test.known_before = !here;
      }
    }
    known += test.known_before ? 1U : 0U;
  }
  assert(may_bind || binds_here.empty());  // the loader refuses variables bound nowhere
  if (may_bind) {
    for (const std::size_t variable : binds_here) bound[variable] = true;
  } else {
    std::erase_if(step.tests, [](const SlotTest& test) { return test.binds; });
  }
  step.exact = known == step.slot_count && step.condition->kind != Kind::kCompare;
}

ValueId Join::Known(const NumberedTerm& term) const {
  switch (term.kind) {
    case NumberedTerm::Kind::kValue:
      return term.number;
    case NumberedTerm::Kind::kVariable:
      return values_[At(term.number)];
    case NumberedTerm::Kind::kAnything:
      break;
  }
  return kUnbound;
}

// Sets the candidates to the shortest list that holds every fact this step could meet.
void Join::Enter(Step& step) {
  step.next = step.end = 0;
  if (step.condition->kind == Kind::kCompare) {
    step.end = 1;  // decided once
    return;
  }
  if (!step.relation) return;
  if (step.exact) {
    std::vector<ValueId> slots;
    slots.reserve(step.tests.size());
    for (const SlotTest& test : step.tests) slots.push_back(Known(test.term));
    step.looked_up.clear();
    if (const std::optional<FactId> fact = store_.FindInterned(*step.relation, slots))
      step.looked_up.push_back(*fact);
    step.candidates = FactList(nullptr, &step.looked_up);
  } else {
    step.candidates = store_.InRelation(*step.relation);
    for (const SlotTest& test : step.tests) {
      if (!test.known_before) continue;
      const FactList with = store_.With(*step.relation, test.slot, Known(test.term));
      if (with.size() < step.candidates.size()) step.candidates = with;
    }
  }
  step.end = step.candidates.size();
  if (step.condition->kind == Kind::kStatement) {
    step.next = step.candidates.LowerBound(step.range.first);
    step.end = step.candidates.LowerBound(step.range.end);
  }
}

// Whether the fact meets the step; binds the step's new variables on the way.
bool Join::Fits(const Step& step, FactId fact) {
  const std::vector<ValueId>& slots = store_.SlotsOf(fact);
  if (slots.size() != step.slot_count) return false;
  for (const SlotTest& test : step.tests) {
    if (test.binds) {
      values_[At(test.term.number)] = slots[test.slot];
    } else if (slots[test.slot] != Known(test.term)) {
      return false;
    }
  }
  return true;
}

// Goes to the step's next way to hold; false when there is none.
bool Join::Advance(Step& step, long& steps, long max_steps) {
  if (step.condition->kind == Kind::kNot) {
    if (step.next > 0) return false;  // held once; cannot hold again
    for (std::size_t i = 0; i < step.end; ++i) {
      if (++steps > max_steps || Fits(step, step.candidates[i])) return false;
    }
    ++steps;
    step.next = 1;
    return true;
  }
  while (step.next < step.end) {
    if (++steps > max_steps) return false;
    const std::size_t candidate = step.next++;
    if (step.condition->kind == Kind::kCompare) {
      const ValueId left = Known(step.left);
      const ValueId right = Known(step.right);
      return left != kUnbound && right != kUnbound &&
             Holds(value_numbers_.Get(left), step.condition->comparison, value_numbers_.Get(right),
                   step.condition->share_of_right);
    }
    const FactId fact = step.candidates[candidate];
    if (!Fits(step, fact)) continue;
    facts_[step.index] = fact;
    return true;
  }
  return false;
}

bool Join::Next(long& steps, long max_steps) {
  if (state_ == State::kDone) return false;
  std::size_t level = 0;
  if (steps_.empty()) {  // no conditions: hold once
    state_ = state_ == State::kFresh ? State::kRunning : State::kDone;
    return state_ == State::kRunning;
  }
  if (state_ == State::kFresh) {
    Enter(steps_[0]);
    state_ = State::kRunning;
  } else {
    level = steps_.size() - 1;
  }
  while (true) {
    if (Advance(steps_[level], steps, max_steps)) {
      if (level + 1 == steps_.size()) return true;
      Enter(steps_[++level]);
    } else if (level > 0 && steps <= max_steps) {
      --level;
    } else {
      state_ = State::kDone;
      return false;
    }
  }
}

}  // namespace gearwhy
