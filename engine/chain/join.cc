// Join: see join.h.
#include "engine/chain/join.h"

#include <algorithm>
#include <cassert>
#include <tuple>
#include <utility>

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

NumberedTerm NumberTerm(const Term& term, const VariableNumbers& variables, const NumberOfValue& number) {
  if (const auto* variable = std::get_if<Variable>(&term))
    return {NumberedTerm::Kind::kVariable, variables.Number(variable->name)};
  if (const auto* value = std::get_if<Value>(&term)) return {NumberedTerm::Kind::kValue, number(*value)};
  return {};
}

namespace {

Plan::Step NumberStep(const Condition& condition, const Numbering& numbering) {
  Plan::Step step;
  step.kind = condition.kind;
  if (step.kind == Kind::kCompare) {
    step.left = NumberTerm(condition.left, numbering.variables, numbering.value);
    step.right = NumberTerm(condition.right, numbering.variables, numbering.value);
    step.comparison = condition.comparison;
    step.share_of_right = condition.share_of_right;
    return step;
  }
  const Pattern& pattern = condition.pattern;
  step.relation = numbering.relation(condition.sense, pattern.name);
  step.slot_count = pattern.terms.size();
  for (std::size_t slot = 0; slot < pattern.terms.size(); ++slot) {
    const NumberedTerm term = NumberTerm(pattern.terms[slot], numbering.variables, numbering.value);
    if (term.kind != NumberedTerm::Kind::kAnything)
      step.tests.push_back({static_cast<int>(slot), term, false, false});
  }
  return step;
}

// Settles how each slot is met, now that it is known what is bound before the step; adds what the step binds.
void PlanTests(Plan::Step& step, std::vector<bool>& bound) {
  const bool may_bind = step.kind == Kind::kStatement;
  std::vector<std::size_t> binds_here;
  std::size_t known = 0;
  for (Plan::SlotTest& test : step.tests) {
    if (test.term.kind == NumberedTerm::Kind::kValue) {
      test.known_before = true;
    } else {
      const std::size_t variable = At(test.term.number);
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
    std::erase_if(step.tests, [](const Plan::SlotTest& test) { return test.binds; });
  }
  step.exact = known == step.slot_count && step.kind != Kind::kCompare;
}

// Smaller is sooner: filters that can be decided, the condition to begin with, statements, filters that
// cannot be (the loader has refused those, but the order is total all the same).
auto Urgency(const Plan::Step& step, const std::vector<bool>& bound, std::size_t size) {
  const auto is_bound = [&bound](const NumberedTerm& term) {
    return term.kind == NumberedTerm::Kind::kValue ||
           (term.kind == NumberedTerm::Kind::kVariable && bound[At(term.number)]);
  };
  std::size_t bound_slots = 0;
  for (const Plan::SlotTest& test : step.tests) bound_slots += is_bound(test.term) ? 1U : 0U;
  const bool decided = step.kind == Kind::kCompare ? is_bound(step.left) && is_bound(step.right)
                                                   : bound_slots == step.tests.size();
  int rank = 2;
  if (step.kind != Kind::kStatement) {
    rank = decided ? 0 : 3;
  } else if (step.begins) {
    rank = 1;
  }
  return std::tuple(rank, rank == 2 && step.slot_count > bound_slots, -static_cast<long>(bound_slots), size,
                    step.condition);
}

}  // namespace

Numbering NumberingIn(FactStore& store, const VariableNumbers& variables) {
  return {variables, [&store](const Value& value) { return store.NumberValue(value); },
          [&store](Sense sense, const std::string& name) { return store.NumberRelation(sense, name); },
          [&store](RelationId relation) { return store.InRelation(relation).size(); }};
}

Plan MakePlan(const std::vector<Condition>& conditions, const Numbering& numbering, std::vector<bool> bound,
              int begin_with) {
  Plan plan;
  plan.conditions = conditions.size();
  plan.variables = numbering.variables.size();
  std::vector<Plan::Step> waiting;
  std::vector<std::size_t> sizes;  // by condition
  for (std::size_t i = 0; i < conditions.size(); ++i) {
    Plan::Step step = NumberStep(conditions[i], numbering);
    step.condition = static_cast<int>(i);
    step.begins = step.condition == begin_with;
    step.before_it = step.condition < begin_with;
    sizes.push_back(numbering.size && step.relation >= 0 ? numbering.size(step.relation) : 0);
    waiting.push_back(std::move(step));
  }
  while (!waiting.empty()) {
    const auto urgency = [&](const Plan::Step& step) {
      return Urgency(step, bound, sizes[At(step.condition)]);
    };
    const auto best =
        std::min_element(waiting.begin(), waiting.end(),
                         [&](const Plan::Step& a, const Plan::Step& b) { return urgency(a) < urgency(b); });
    PlanTests(*best, bound);
    plan.steps.push_back(std::move(*best));
    waiting.erase(best);
  }
  return plan;
}

void Search::Begin(const Plan& plan, const Meets& meets, const std::vector<ValueId>& bound) {
  plan_ = &plan;
  meets_ = meets;
  values_.assign(plan.variables, kUnbound);
  std::copy(bound.begin(), bound.end(), values_.begin());
  facts_.assign(plan.conditions, -1);
  if (stands_.size() < plan.steps.size()) stands_.resize(plan.steps.size());
  state_ = State::kFresh;
}

const Value& Search::GetValue(ValueId id) const {
  assert(id != kUnbound);
  return id >= 0 ? store_.GetValue(id) : (*others_)[At(-(id + 1))];
}

ValueId Search::Known(const NumberedTerm& term) const {
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

// The shortest list that holds every fact this step could meet.
FactList Search::Candidates(const Plan::Step& step) {
  if (step.begins && meets_.first >= 0) return FactList(meets_.first);
  if (step.relation < 0) return {};
  if (step.exact) {
    slots_.clear();
    for (const Plan::SlotTest& test : step.tests) slots_.push_back(Known(test.term));
    const std::optional<FactId> fact = store_.FindNumbered(step.relation, slots_);
    return fact ? FactList(*fact) : FactList();
  }
  std::optional<FactList> shortest;
  for (const Plan::SlotTest& test : step.tests) {
    if (!test.known_before) continue;
    const FactList with = store_.With(step.relation, test.slot, Known(test.term));
    if (!shortest || with.size() < shortest->size()) shortest = with;
  }
  return shortest ? *shortest : store_.InRelation(step.relation);
}

void Search::Enter(std::size_t level) {
  const Plan::Step& step = plan_->steps[level];
  Stand& stand = stands_[level];
  stand.asked = false;
  if (step.kind == Kind::kCompare) return;
  stand.candidates = Candidates(step);
  stand.next = stand.candidates.begin();
}

// Whether the fact meets the step; binds the step's new variables on the way.
bool Search::Fits(const Plan::Step& step, FactId fact) {
  const std::span<const ValueId> slots = store_.SlotsOf(fact);
  if (slots.size() != step.slot_count) return false;
  for (const Plan::SlotTest& test : step.tests) {
    const ValueId here = slots[At(test.slot)];
    if (test.binds) {
      values_[At(test.term.number)] = here;
    } else if (here != Known(test.term)) {
      return false;
    }
  }
  return true;
}

bool Search::Compares(const Plan::Step& step) const {
  const ValueId left = Known(step.left);
  const ValueId right = Known(step.right);
  return left != kUnbound && right != kUnbound &&
         Holds(GetValue(left), step.comparison, GetValue(right), step.share_of_right);
}

// Goes to the step's next way to hold; false when there is none.
bool Search::Advance(std::size_t level, long& steps, long max_steps) {
  const Plan::Step& step = plan_->steps[level];
  Stand& stand = stands_[level];
  if (step.kind != Kind::kStatement) {
    if (std::exchange(stand.asked, true) || ++steps > max_steps) return false;
    if (step.kind == Kind::kCompare) return Compares(step);
    for (const FactId fact : stand.candidates) {
      if (++steps > max_steps || Fits(step, fact)) return false;
    }
    return true;
  }
  const FactId end = step.begins && meets_.first >= 0 ? meets_.first + 1
                     : step.before_it                 ? meets_.old
                                                      : meets_.end;
  for (; stand.next != FactList::Iterator() && *stand.next < end; ++stand.next) {
    if (++steps > max_steps) return false;
    const FactId fact = *stand.next;
    if (!Fits(step, fact)) continue;
    facts_[At(step.condition)] = fact;
    ++stand.next;
    return true;
  }
  return false;
}

bool Search::Next(long& steps, long max_steps) {
  if (state_ == State::kDone) return false;
  const std::size_t last = plan_->steps.size();
  if (last == 0) {  // no conditions: hold once
    state_ = state_ == State::kFresh ? State::kRunning : State::kDone;
    return state_ == State::kRunning;
  }
  std::size_t level = last - 1;
  if (std::exchange(state_, State::kRunning) == State::kFresh) Enter(level = 0);
  while (true) {
    if (Advance(level, steps, max_steps)) {
      if (level + 1 == last) return true;
      Enter(++level);
    } else if (level > 0 && steps <= max_steps) {
      --level;
    } else {
      state_ = State::kDone;
      return false;
    }
  }
}

Query::Query(const std::vector<Condition>& conditions, const FactStore& store, const Bindings& given)
    : store_(store), variables_(conditions, given), search_(store, &others_) {
  std::vector<ValueId> values(variables_.size(), kUnbound);
  std::vector<bool> bound(variables_.size());
  for (const Binding& binding : given) {
    const std::size_t variable = At(variables_.Number(binding.variable));
    values[variable] = Number(binding.value);
    bound[variable] = true;
  }
  const Numbering numbering{
      variables_, [this](const Value& value) { return Number(value); },
      [this](Sense sense, const std::string& name) { return store_.FindRelation(sense, name).value_or(-1); },
      [this](RelationId relation) { return store_.InRelation(relation).size(); }};
  plan_ = MakePlan(conditions, numbering, std::move(bound));
  search_.Begin(plan_, {store.size()}, values);
}

ValueId Query::Number(const Value& value) {
  if (const std::optional<ValueId> id = store_.FindValue(value)) return *id;
  others_.push_back(value);
  return -static_cast<ValueId>(others_.size());
}

bool Query::Next() { return search_.Next(steps_); }

Bindings ShowBindings(const VariableNumbers& variables, const Search& search) {
  const std::vector<ValueId>& values = search.values();
  Bindings bindings;
  bindings.reserve(variables.size());
  for (std::size_t i = 0; i < variables.size(); ++i) {
    if (values[i] != kUnbound) bindings.push_back({variables.Name(i), search.GetValue(values[i])});
  }
  return bindings;
}

}  // namespace gearwhy
