// Chain: see chain.h.
#include "engine/chain/chain.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <iterator>

#include "engine/chain/join.h"
#include "engine/chain/strata.h"
#include "engine/text/at.h"

namespace gearwhy {

namespace {

// The premises that go with one match, in the order of the conditions.
std::vector<Premise> PremisesOf(const std::vector<Condition>& conditions, const std::vector<FactId>& facts) {
  std::vector<Premise> premises;
  premises.reserve(conditions.size());
  for (std::size_t i = 0; i < conditions.size(); ++i) {
    premises.push_back({conditions[i].kind, static_cast<int>(i), facts[i]});
  }
  return premises;
}

// One run of Chain.
class Chaining {
 public:
  Chaining(const std::vector<Rule>& rules, FactStore& store, Recorder* recorder, const ChainLimits& limits)
      : rules_(rules),
        store_(store),
        recorder_(recorder),
        limits_(limits),
        numbers_(store),
        work_(rules.size()) {}

  enum class End { kDone, kLimit, kDenied };
  // `first`: the facts before it are complete; 0 for none. kDenied: see ChainOn.
  End Run(FactId first);
  void Report(Diagnostics& diagnostics) const;

 private:
  // A conclusion with everything in it numbered.
  struct NumberedConclusion {
    FactStore::RelationId relation = 0;
    std::vector<NumberedTerm> terms;
  };
  struct RuleWork {
    std::vector<NumberedConclusion> conclusions;
    int new_facts = 0;
    long steps = 0;
  };

  void NumberRules();
  bool RunStratum(const std::vector<std::size_t>& rules, FactId first);
  bool IsDenied(const std::vector<std::size_t>& rules, FactId first) const;
  bool RunRound(std::size_t rule_index, FactRange fresh, bool first_round);
  bool RunJoin(std::size_t rule_index, const std::vector<FactRange>& ranges, int begin_with);
  bool Conclude(std::size_t rule_index, const Join& join);
  bool AnyIn(const Condition& condition, FactRange range) const;

  const std::vector<Rule>& rules_;
  FactStore& store_;
  Recorder* recorder_;
  const ChainLimits limits_;
  ValueNumbers numbers_;
  std::vector<VariableNumbers> variables_;
  std::vector<RuleWork> work_;
  long steps_ = 0;
  bool too_many_facts_ = false;
};

// Gives everything that the rules name a number in the store, so that conditions and conclusions speak of the
// same numbers.
void Chaining::NumberRules() {
  for (const Rule& rule : rules_) {
    variables_.emplace_back(rule.when, Bindings{});
    RuleWork& work = work_[variables_.size() - 1];
    for (const Condition& condition : rule.when) {
      if (condition.kind != Condition::Kind::kCompare)
        store_.InternRelation(condition.sense, condition.pattern.name);
      for (const Term& term : condition.pattern.terms) {
        if (const auto* value = std::get_if<Value>(&term)) store_.InternValue(*value);
      }
      for (const Term& term : {condition.left, condition.right}) {
        if (const auto* value = std::get_if<Value>(&term)) store_.InternValue(*value);
      }
    }
    for (const Conclusion& conclusion : rule.then) {
      NumberedConclusion numbered{store_.InternRelation(conclusion.sense, conclusion.pattern.name), {}};
      for (const Term& term : conclusion.pattern.terms) {
        if (const auto* value = std::get_if<Value>(&term)) store_.InternValue(*value);
        numbered.terms.push_back(NumberTerm(term, variables_.back(), numbers_));
      }
      work.conclusions.push_back(std::move(numbered));
    }
  }
}

Chaining::End Chaining::Run(FactId first) {
  NumberRules();
  const std::vector<int> strata = StrataOf(rules_);
  const int last = strata.empty() ? -1 : *std::max_element(strata.begin(), strata.end());
  std::vector<std::vector<std::size_t>> by_stratum(static_cast<std::size_t>(last + 1));
  for (std::size_t i = 0; i < rules_.size(); ++i) by_stratum[At(strata[i])].push_back(i);
  for (const std::vector<std::size_t>& rules : by_stratum) {
    if (first > 0 && IsDenied(rules, first)) return End::kDenied;
    if (!RunStratum(rules, first)) return End::kLimit;
  }
  return End::kDone;
}

// Whether a rule may have concluded something in the base that a fact from `first` on denies: one of its
// `not` meets such a fact, and the base meets all else. What a `not` asks for is complete by now.
bool Chaining::IsDenied(const std::vector<std::size_t>& rules, FactId first) const {
  return std::any_of(rules.begin(), rules.end(), [&](std::size_t rule) {
    const std::vector<Condition>& when = rules_[rule].when;
    const bool touched = std::any_of(when.begin(), when.end(), [&](const Condition& condition) {
      return condition.kind == Condition::Kind::kNot && AnyIn(condition, {first, store_.size()});
    });
    if (!touched) return false;
    std::vector<Condition> all_else;
    std::copy_if(when.begin(), when.end(), std::back_inserter(all_else),
                 [](const Condition& condition) { return condition.kind != Condition::Kind::kNot; });
    return !FindMatches(all_else, *store_.base()).empty();
  });
}

bool Chaining::RunStratum(const std::vector<std::size_t>& rules, FactId first) {
  FactRange fresh{first,
                  store_.size()};  // what the last round found; at first, everything that is not complete
  for (bool first_round = true; first_round || fresh.first < fresh.end; first_round = false) {
    for (const std::size_t rule : rules) {
      if (!RunRound(rule, fresh, first_round && first == 0)) return false;
    }
    fresh = {fresh.end, store_.size()};
  }
  return true;
}

// Every match in which at least one fact is fresh and none is newer. Told apart by the first condition, as
// written, that a fresh fact meets: those before it meet old facts, those behind it old or fresh ones.
bool Chaining::RunRound(std::size_t rule_index, FactRange fresh, bool first_round) {
  const std::vector<Condition>& when = rules_[rule_index].when;
  const FactRange old{0, fresh.first};
  const FactRange known{0, fresh.end};
  if (first_round) return RunJoin(rule_index, std::vector<FactRange>(when.size(), known), -1);
  for (std::size_t i = 0; i < when.size(); ++i) {
    if (when[i].kind != Condition::Kind::kStatement || !AnyIn(when[i], fresh)) continue;
    std::vector<FactRange> ranges(when.size(), known);
    std::fill(ranges.begin(), ranges.begin() + static_cast<std::ptrdiff_t>(i), old);
    ranges[i] = fresh;
    if (!RunJoin(rule_index, ranges, static_cast<int>(i))) return false;
  }
  return true;
}

bool Chaining::AnyIn(const Condition& condition, FactRange range) const {
  const FactList facts = store_.Named(condition.sense, condition.pattern.name);
  const std::size_t first = facts.LowerBound(range.first);
  return first < facts.size() && facts[first] < range.end;
}

bool Chaining::RunJoin(std::size_t rule_index, const std::vector<FactRange>& ranges, int begin_with) {
  const VariableNumbers& variables = variables_[rule_index];
  Join join(rules_[rule_index].when, variables, numbers_, store_,
            std::vector<ValueId>(variables.size(), kUnbound), ranges, begin_with);
  const long steps_before = steps_;
  bool within = true;
  while (within && join.Next(steps_, limits_.max_steps)) within = Conclude(rule_index, join);
  work_[rule_index].steps += steps_ - steps_before;
  return within && steps_ <= limits_.max_steps;
}

// Adds what the rule concludes from one match.
bool Chaining::Conclude(std::size_t rule_index, const Join& join) {
  const Rule& rule = rules_[rule_index];
  RuleWork& work = work_[rule_index];
  for (std::size_t i = 0; i < work.conclusions.size(); ++i) {
    const NumberedConclusion& conclusion = work.conclusions[i];
    std::vector<ValueId> slots;
    slots.reserve(conclusion.terms.size());
    for (const NumberedTerm& term : conclusion.terms) {
      assert(term.kind != NumberedTerm::Kind::kAnything);
      slots.push_back(term.kind == NumberedTerm::Kind::kVariable ? join.values()[At(term.number)]
                                                                 : term.number);
    }
    std::optional<FactId> fact = store_.FindInterned(conclusion.relation, slots);
    const bool is_new = !fact.has_value();
    if (is_new) {
      if (store_.size() >= limits_.max_facts) {
        too_many_facts_ = true;
        return false;
      }
      fact = store_.AddInterned(conclusion.relation, slots).first;
      ++work.new_facts;
    }
    if (recorder_ == nullptr) continue;
    recorder_->Derived({&rule, static_cast<int>(i), *fact, is_new,
                        variables_[rule_index].Show(join.values(), numbers_),
                        PremisesOf(rule.when, join.facts())});
  }
  return true;
}

void Chaining::Report(Diagnostics& diagnostics) const {
  const auto fewer = [this](const RuleWork& a, const RuleWork& b) {
    return too_many_facts_ ? a.new_facts < b.new_facts : a.steps < b.steps;
  };
  const auto worst = std::max_element(work_.begin(), work_.end(), fewer);
  const Rule& rule = rules_[static_cast<std::size_t>(worst - work_.begin())];
  const std::string hint = "let its conditions share more variables, or name more of their slots";
  if (too_many_facts_) {
    diagnostics.Error(rule.place, "rulebook-explodes",
                      fmt::format("more than {} facts follow from the rules, {} of them by rule `{}`; {}",
                                  limits_.max_facts, worst->new_facts, rule.id, hint));
  } else {
    diagnostics.Error(
        rule.place, "rulebook-explodes",
        fmt::format("the rules are not done after {} steps, {} of them in rule `{}`; {}", limits_.max_steps,
                    std::min(worst->steps, limits_.max_steps), rule.id, hint));
  }
}

}  // namespace

bool Chain(const std::vector<Rule>& rules, FactStore& store, Recorder* recorder, Diagnostics& diagnostics,
           const ChainLimits& limits) {
  Chaining chaining(rules, store, recorder, limits);
  if (chaining.Run(0) == Chaining::End::kDone) return true;
  chaining.Report(diagnostics);
  return false;
}

std::optional<bool> ChainOn(const std::vector<Rule>& rules, FactStore& store, Recorder* recorder,
                            Diagnostics& diagnostics, const ChainLimits& limits) {
  Chaining chaining(rules, store, recorder, limits);
  const Chaining::End end = chaining.Run(store.base_size());
  if (end == Chaining::End::kDenied) return std::nullopt;
  if (end == Chaining::End::kLimit) chaining.Report(diagnostics);
  return end == Chaining::End::kDone;
}

std::vector<Match> FindMatches(const std::vector<Condition>& conditions, const FactStore& store,
                               const Bindings& given) {
  const VariableNumbers variables(conditions, given);
  ValueNumbers numbers(store);
  std::vector<ValueId> bound(variables.size(), kUnbound);
  for (const Binding& binding : given) {
    bound[At(variables.Number(binding.variable))] = numbers.Number(binding.value);
  }
  Join join(conditions, variables, numbers, store, std::move(bound),
            std::vector<FactRange>(conditions.size(), {0, store.size()}));
  struct Found {
    std::vector<FactId> facts;
    std::vector<ValueId> values;
  };
  std::vector<Found> found;
  long steps = 0;
  while (join.Next(steps)) found.push_back({join.facts(), join.values()});
  std::sort(found.begin(), found.end(), [](const Found& a, const Found& b) { return a.facts < b.facts; });
  std::vector<Match> matches;
  matches.reserve(found.size());
  for (const Found& one : found) {
    matches.push_back({variables.Show(one.values, numbers), PremisesOf(conditions, one.facts)});
  }
  return matches;
}

Statement Fill(const Pattern& pattern, const Bindings& bindings) {
  Statement statement{pattern.name, {}};
  statement.slots.reserve(pattern.terms.size());
  for (const Term& term : pattern.terms) {
    if (const auto* value = std::get_if<Value>(&term)) {
      statement.slots.push_back(*value);
      continue;
    }
    assert(std::holds_alternative<Variable>(term));
    const std::string& name = std::get<Variable>(term).name;
    const auto binding =
        std::lower_bound(bindings.begin(), bindings.end(), name,
                         [](const Binding& b, const std::string& n) { return b.variable < n; });
    assert(binding != bindings.end() && binding->variable == name);
    statement.slots.push_back(binding->value);
  }
  return statement;
}

}  // namespace gearwhy
