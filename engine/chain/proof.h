// Proof: for every derived fact, why it holds, as data.
//
// A ProofBook is a Recorder that keeps the first derivation of each fact.
// Following premises from a fact always ends at given facts, because the first derivation uses only facts
// known before.
#pragma once

#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "engine/chain/chain.h"

namespace gearwhy {

class ProofBook : public Recorder {
 public:
  ProofBook() = default;
  // Of a store that stands on a base: the base's facts are proved by the base's book.
  ProofBook(std::shared_ptr<const ProofBook> base, FactId base_size)
      : base_(std::move(base)), base_size_(base_size) {}

  void Derived(const Derivation& derivation) override;
  // Nothing for a given fact, even if a rule concludes it, too. Valid until the next Derived.
  const Derivation* Find(FactId fact) const;

 private:
  std::shared_ptr<const ProofBook> base_;  // may be null
  FactId base_size_ = 0;
  std::vector<std::optional<Derivation>> first_;  // by fact, from base_size_ on
};

// Why a rule did not fire for some bindings: its first condition that no fact meets, for the best partial
// match. Conditions count in the order of `when`, but a comparison or `not` only once its variables are
// bound.
struct NearMiss {
  const Rule* rule = nullptr;
  int conclusion = 0;        // index into its `then`
  int conditions_met = 0;    // of the longest partial match
  int failed_condition = 0;  // index into its `when`
  Bindings bindings;         // of that partial match
};
// For each rule that could have concluded `statement` and did not, in their order: how far it came. `store`
// is complete. Empty when no rule concludes such a thing.
std::vector<NearMiss> WhyNot(const std::vector<Rule>& rules, const FactStore& store, Sense sense,
                             const Statement& statement);

}  // namespace gearwhy
