// Compile: rules made ready to run: numbered, planned, and put where the facts that they wait for find them.
//
// In: rules, a base that gets numbers for what they name. Out: for each fact, the conditions that wait for it.
// Method. A condition waits for facts of its relation. Where it names values, it waits for one of them alone: the one
// that the fewest conditions name in that slot. A statement that is met goes on with a plan that begins with
// it. A `not` that is met, on a base that is complete, may deny what its rule concluded there: its plan
// begins with it as though it were a statement, and asks for the rule's other statements and comparisons in
// the base.
// Cost: a plan for each statement and each `not`.
// Private to engine/chain.
#pragma once

#include <algorithm>
#include <span>
#include <unordered_map>
#include <vector>

#include "engine/chain/join.h"
#include "engine/text/at.h"

namespace gearwhy {

struct NumberedConclusion {
  RelationId relation = 0;
  std::vector<NumberedTerm> terms;
};

struct CompiledRule {
  VariableNumbers variables;
  std::vector<NumberedConclusion> conclusions;
  int stratum = 0;
};

// A condition that waits for facts.
struct Waiting {
  int rule = 0;
  int stratum = 0;  // of the rule
  bool denies = false;
  Plan plan;
};

class CompiledRules {
 public:
  CompiledRules(const std::vector<Rule>& rules, FactStore& base);

  const std::vector<Rule>& source() const { return source_; }
  const std::vector<CompiledRule>& rules() const { return rules_; }
  const std::vector<Waiting>& waiting() const { return waiting_; }  // by rule, then by condition
  int strata() const { return static_cast<int>(by_stratum_.size()); }
  const std::vector<std::size_t>& RulesOf(int stratum) const { return by_stratum_[At(stratum)]; }

  // Calls `visit` with the index of each condition that waits for the fact.
  template <typename Visit>
  void ForEachWaitingFor(const FactStore& store, FactId fact, Visit visit) const {
    const auto relation = static_cast<std::size_t>(store.RelationIdOf(fact));
    if (relation >= by_relation_.size()) return;
    const OfRelation& here = by_relation_[relation];
    for (const int waiting : here.for_any) visit(waiting);
    const std::span<const ValueId> slots = store.SlotsOf(fact);
    for (std::size_t slot = 0; slot < std::min(slots.size(), here.for_value.size()); ++slot) {
      const auto known = here.for_value[slot].find(slots[slot]);
      if (known == here.for_value[slot].end()) continue;
      for (const int waiting : known->second) visit(waiting);
    }
  }

 private:
  struct OfRelation {
    std::vector<int> for_any;
    std::vector<std::unordered_map<ValueId, std::vector<int>>> for_value;  // by slot
  };

  void CompileRule(const Rule& rule, int stratum, FactStore& base);
  void Wait();
  OfRelation& Of(RelationId relation);

  const std::vector<Rule>& source_;
  std::vector<CompiledRule> rules_;
  std::vector<Waiting> waiting_;
  std::vector<std::vector<std::size_t>> by_stratum_;
  std::vector<OfRelation> by_relation_;
};

}  // namespace gearwhy
