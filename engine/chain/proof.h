// Proof: for every derived fact, why it holds, as data.
//
// A ProofBook is a Recorder that keeps the first derivation of each fact (and how many more there were). Following premises from a fact
// always ends at given facts, because the first derivation uses only facts known before.
#pragma once

#include <optional>
#include <vector>

#include "engine/chain/chain.h"

namespace gearwhy {

class ProofBook : public Recorder {
 public:
  void Derived(const Derivation& derivation) override;
  // Nothing for a given fact.
  const Derivation* Find(FactId fact) const;
  int further_derivations(FactId fact) const;

 private:
  std::vector<std::optional<Derivation>> first_;  // by fact
  std::vector<int> further_;
};

// Why a rule did not fire for some bindings: its first condition that no fact meets, for the best partial match.
struct NearMiss {
  const Rule* rule = nullptr;
  int conditions_met = 0;   // of the longest partial match in the order of `when`
  int failed_condition = 0; // index
  Bindings bindings;        // of that partial match
};
// For each rule that could have concluded `statement`: how far it came. Empty when no rule concludes such a thing.
std::vector<NearMiss> WhyNot(const std::vector<Rule>& rules, const FactStore& store, Sense sense, const Statement& statement);

}  // namespace gearwhy
