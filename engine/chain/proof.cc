// Proof: see proof.h.
#include "engine/chain/proof.h"

#include <algorithm>
#include <map>

#include "engine/chain/join.h"
#include "engine/text/at.h"

namespace gearwhy {

void ProofBook::Derived(const Derivation& derivation) {
  if (!derivation.is_new) return;
  const auto index = static_cast<std::size_t>(derivation.fact - base_size_);
  if (first_.size() <= index) first_.resize(index + 1);
  first_[index] = derivation;
}

const Derivation* ProofBook::Find(FactId fact) const {
  if (fact < base_size_) return base_->Find(fact);
  const auto index = static_cast<std::size_t>(fact - base_size_);
  return index < first_.size() && first_[index] ? &*first_[index] : nullptr;
}

namespace {

// The bindings that make the pattern this statement, or nothing.
std::optional<Bindings> Unify(const Pattern& pattern, const Statement& statement) {
  if (pattern.name != statement.name || pattern.terms.size() != statement.slots.size()) return std::nullopt;
  std::map<std::string, Value> values;
  for (std::size_t i = 0; i < pattern.terms.size(); ++i) {
    const Value& slot = statement.slots[i];
    if (const auto* value = std::get_if<Value>(&pattern.terms[i])) {
      if (*value != slot) return std::nullopt;
    } else if (const auto* variable = std::get_if<Variable>(&pattern.terms[i])) {
      if (values.emplace(variable->name, slot).first->second != slot) return std::nullopt;
    }
  }
  Bindings bindings;
  for (const auto& [variable, value] : values) bindings.push_back({variable, value});
  return bindings;
}

bool IsBound(const Condition& condition, const std::vector<std::string>& bound) {
  const auto known = [&bound](const Term& term) {
    const auto* variable = std::get_if<Variable>(&term);
    return variable == nullptr || std::find(bound.begin(), bound.end(), variable->name) != bound.end();
  };
  return condition.kind == Condition::Kind::kCompare
             ? known(condition.left) && known(condition.right)
             : std::all_of(condition.pattern.terms.begin(), condition.pattern.terms.end(), known);
}

// Indexes of the conditions as written, save that a comparison or `not` waits until its variables are bound.
std::vector<std::size_t> ReadingOrder(const std::vector<Condition>& when, const Bindings& given) {
  std::vector<std::string> bound;
  for (const Binding& binding : given) bound.push_back(binding.variable);
  std::vector<std::size_t> order;
  std::vector<bool> taken(when.size());
  while (order.size() < when.size()) {
    std::size_t next = 0;
    while (next < when.size() &&
           (taken[next] || (when[next].kind != Condition::Kind::kStatement && !IsBound(when[next], bound)))) {
      ++next;
    }
    if (next == when.size()) break;  // the loader refuses variables bound nowhere
    taken[next] = true;
    order.push_back(next);
    if (when[next].kind != Condition::Kind::kStatement) continue;
    for (const Term& term : when[next].pattern.terms) {
      if (const auto* variable = std::get_if<Variable>(&term)) bound.push_back(variable->name);
    }
  }
  return order;
}

// How far the conditions hold together; nothing when all do. Longer and longer beginnings are joined until
// one has no match.
std::optional<NearMiss> HowFar(const std::vector<Condition>& when, const FactStore& store,
                               const Bindings& given) {
  NearMiss miss;
  miss.bindings = given;
  std::vector<Condition> beginning;
  for (const std::size_t index : ReadingOrder(when, given)) {
    beginning.push_back(when[index]);
    Query query(beginning, store, given);
    if (!query.Next()) {
      miss.failed_condition = static_cast<int>(index);
      return miss;
    }
    ++miss.conditions_met;
    miss.bindings = query.bindings();
  }
  return std::nullopt;
}

}  // namespace

std::vector<NearMiss> WhyNot(const std::vector<Rule>& rules, const FactStore& store, Sense sense,
                             const Statement& statement) {
  std::vector<NearMiss> misses;
  for (const Rule& rule : rules) {
    std::optional<NearMiss> best;
    bool fired = false;
    for (std::size_t i = 0; i < rule.then.size(); ++i) {
      if (rule.then[i].sense != sense) continue;
      const std::optional<Bindings> given = Unify(rule.then[i].pattern, statement);
      if (!given) continue;
      std::optional<NearMiss> miss = HowFar(rule.when, store, *given);
      fired = fired || !miss;
      if (!miss || (best && best->conditions_met >= miss->conditions_met)) continue;
      miss->rule = &rule;
      miss->conclusion = static_cast<int>(i);
      best = std::move(miss);
    }
    if (best && !fired) misses.push_back(std::move(*best));
  }
  return misses;
}

}  // namespace gearwhy
