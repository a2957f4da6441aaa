// Compile: see compile.h.
#include "engine/chain/compile.h"

#include <algorithm>
#include <cassert>
#include <map>
#include <tuple>
#include <utility>

#include "engine/chain/strata.h"

namespace gearwhy {

namespace {

// What a `not` may deny, with the index of the condition that the plan begins with: the rule's conditions,
// this one taken as a statement, without the other `not`s, which only may keep the rule from having concluded
// anything.
std::pair<std::vector<Condition>, int> Denial(const std::vector<Condition>& when, std::size_t denied) {
  std::vector<Condition> conditions;
  int begin_with = 0;
  for (std::size_t i = 0; i < when.size(); ++i) {
    if (i != denied && when[i].kind == Condition::Kind::kNot) continue;
    if (i == denied) begin_with = static_cast<int>(conditions.size());
    conditions.push_back(when[i]);
    if (i == denied) conditions.back().kind = Condition::Kind::kStatement;
  }
  return {std::move(conditions), begin_with};
}

// The step that meets the fact that is waited for.
const Plan::Step& FirstOf(const Plan& plan) {
  return *std::find_if(plan.steps.begin(), plan.steps.end(),
                       [](const Plan::Step& step) { return step.begins; });
}

}  // namespace

CompiledRules::CompiledRules(const std::vector<Rule>& rules, FactStore& base) : source_(rules) {
  const std::vector<int> strata = StrataOf(rules);
  const int last = strata.empty() ? -1 : *std::max_element(strata.begin(), strata.end());
  by_stratum_.resize(static_cast<std::size_t>(last + 1));
  for (std::size_t i = 0; i < rules.size(); ++i) {
    by_stratum_[At(strata[i])].push_back(i);
    CompileRule(rules[i], strata[i], base);
  }
  Wait();
}

void CompiledRules::CompileRule(const Rule& rule, int stratum, FactStore& base) {
  CompiledRule compiled{VariableNumbers(rule.when), {}, stratum};
  Numbering numbering = NumberingIn(base, compiled.variables);
  numbering.size = nullptr;  // not known before the rules have run
  for (const Conclusion& conclusion : rule.then) {
    NumberedConclusion numbered{base.NumberRelation(conclusion.sense, conclusion.pattern.name), {}};
    for (const Term& term : conclusion.pattern.terms) {
      numbered.terms.push_back(NumberTerm(term, compiled.variables, numbering.value));
      assert(numbered.terms.back().kind != NumberedTerm::Kind::kAnything);
    }
    compiled.conclusions.push_back(std::move(numbered));
  }
  const std::vector<bool> none_bound(compiled.variables.size());
  for (std::size_t i = 0; i < rule.when.size(); ++i) {
    const Condition::Kind kind = rule.when[i].kind;
    if (kind == Condition::Kind::kCompare) continue;
    Waiting waiting{static_cast<int>(rules_.size()), stratum, kind == Condition::Kind::kNot, {}};
    if (waiting.denies) {
      const auto [conditions, begin_with] = Denial(rule.when, i);
      waiting.plan = MakePlan(conditions, numbering, none_bound, begin_with);
    } else {
      waiting.plan = MakePlan(rule.when, numbering, none_bound, static_cast<int>(i));
    }
    waiting_.push_back(std::move(waiting));
  }
  rules_.push_back(std::move(compiled));
}

CompiledRules::OfRelation& CompiledRules::Of(RelationId relation) {
  if (At(relation) >= by_relation_.size()) by_relation_.resize(At(relation) + 1);
  return by_relation_[At(relation)];
}

// Puts every condition where the facts that it waits for find it.
void CompiledRules::Wait() {
  const auto for_each_value = [this](std::size_t waiting, const auto& visit) {
    const Plan::Step& first = FirstOf(waiting_[waiting].plan);
    for (const Plan::SlotTest& test : first.tests) {
      if (test.term.kind == NumberedTerm::Kind::kValue)
        visit(std::tuple(first.relation, test.slot, test.term.number));
    }
  };
  std::map<std::tuple<RelationId, int, ValueId>, int> named;  // by how many conditions
  for (std::size_t i = 0; i < waiting_.size(); ++i)
    for_each_value(i, [&](const auto& value) { ++named[value]; });
  for (std::size_t i = 0; i < waiting_.size(); ++i) {
    const auto* rarest = static_cast<decltype(&*named.begin())>(nullptr);
    for_each_value(i, [&](const auto& value) {
      const auto& here = *named.find(value);
      if (rarest == nullptr || here.second < rarest->second) rarest = &here;
    });
    OfRelation& here = Of(FirstOf(waiting_[i].plan).relation);
    if (rarest == nullptr) {
      here.for_any.push_back(static_cast<int>(i));
      continue;
    }
    const std::size_t slot = At(std::get<1>(rarest->first));
    if (here.for_value.size() <= slot) here.for_value.resize(slot + 1);
    here.for_value[slot][std::get<2>(rarest->first)].push_back(static_cast<int>(i));
  }
}

}  // namespace gearwhy
