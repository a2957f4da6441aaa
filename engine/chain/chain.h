// Chain: semi-naive forward chaining to a fixpoint, with stratified `not`.
//
// In: rules (validated by the loader), facts given. Out: the store of all facts that follow, in a
// deterministic order. How each was derived goes to a Recorder, if there is one.
//
// Method. Rules are sorted into strata so that whatever stands under `not` is complete before it is asked.
// Within a stratum every round joins each rule with at least one fact of the last round (semi-naive),
// through the store's indexes, so each way to derive a fact is found exactly once. A round uses only facts
// of earlier rounds, so the premises of a new fact always have smaller numbers than it. Rules and facts
// are tried in their order, so numbers come out the same every time.
// Cost: the facts tried in all joins, which are the steps that `max_steps` bounds; no rule makes new
// values, so it always ends.
// Errors: a cycle through `not` (CheckStrata, on the rulebook); a rulebook that explodes ends with an
// error naming the rule that derived most facts (at `max_facts`) or tried most (at `max_steps`).
// Source: Bancilhon & Ramakrishnan 1986 (semi-naive evaluation); Apt, Blair & Walker 1988 (stratified
// negation) - from memory.
#pragma once

#include <optional>
#include <vector>

#include "engine/chain/fact_store.h"
#include "engine/text/diagnostic.h"

namespace gearwhy {

// One premise of a derivation: a fact, or that no fact matched a `not`, or a comparison that held.
struct Premise {
  Condition::Kind kind = Condition::Kind::kStatement;
  int condition = 0;  // index into the rule's `when`
  FactId fact = -1;   // kStatement
};

struct Derivation {
  const Rule* rule = nullptr;  // in the vector given to Chain
  int conclusion = 0;          // index into the rule's `then`
  FactId fact = -1;
  bool is_new = false;  // the fact was neither given nor derived before
  Bindings bindings;
  std::vector<Premise> premises;  // one for each condition, in the order of `when`
};

// Told of every derivation found, the first and any further one of the same fact within the limits. A fact
// that was given may be derived, too.
class Recorder {
 public:
  virtual ~Recorder() = default;
  virtual void Derived(const Derivation& derivation) = 0;
};

struct ChainLimits {
  int max_facts = 200'000;      // in the store, the given ones among them
  long max_steps = 20'000'000;  // facts tried and comparisons made, over all rules
};

// Reports each cycle through `not` with the rules on it (code `not-cycle`); true when there is none.
bool CheckStrata(const std::vector<Rule>& rules, Diagnostics& diagnostics);

// `store` holds the given facts and gains the derived ones. CheckStrata must have passed. False when a limit
// was hit (reported with code `rulebook-explodes`); the store then holds what was found so far.
bool Chain(const std::vector<Rule>& rules, FactStore& store, Recorder* recorder, Diagnostics& diagnostics,
           const ChainLimits& limits = {});

// The same for a store that stands on a base to which these rules have been applied: only what the store's own
// facts add is joined. Nothing comes back, and the store is of no more use, where what has come in addition may
// deny, by a `not`, what a rule concluded in the base.
// Cost: a look at every rule, and the joins that an own fact takes part in.
std::optional<bool> ChainOn(const std::vector<Rule>& rules, FactStore& store, Recorder* recorder,
                            Diagnostics& diagnostics, const ChainLimits& limits = {});

// All ways in which the conditions hold in a complete store, starting from `given` bindings, each with its
// premises, ordered by the facts that meet the first condition as written, then the second, and so on. Every
// variable of a comparison or a `not` must be given or bound by a statement.
struct Match {
  Bindings bindings;  // the given ones among them
  std::vector<Premise> premises;
};
std::vector<Match> FindMatches(const std::vector<Condition>& conditions, const FactStore& store,
                               const Bindings& given = {});

// The statement a pattern becomes; every variable must be bound.
Statement Fill(const Pattern& pattern, const Bindings& bindings);

}  // namespace gearwhy
