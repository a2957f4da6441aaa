// Chain: semi-naive forward chaining to a fixpoint, with stratified `not`.
//
// In: rules (validated by the loader), facts given. Out: the store of all facts that follow, in a
// deterministic order. How each was derived goes to a Recorder, if there is one.
//
// Method. Rules are sorted into strata so that whatever stands under `not` is complete before it is asked.
// Rules are compiled once, for a base of facts: every condition gets a plan that begins with it, and waits
// for the facts of its relation, or for those that have one value that it names. A round takes the facts of
// the last round to the conditions that wait for them, and each joins its fact with older ones (semi-naive),
// so each way to derive a fact is found exactly once, and rules that nothing new concerns cost nothing. A
// round uses only facts of earlier rounds, so the premises of a new fact always have smaller numbers than it.
// Rules, conditions and facts are tried in their order, so numbers come out the same every time.
// Cost: the facts tried in all joins, which are the steps that `max_steps` bounds; no rule makes new
// values, so it always ends.
// Errors: a cycle through `not` (CheckStrata, on the rulebook); a rulebook that explodes ends with an
// error naming the rule that derived most facts (at `max_facts`) or tried most (at `max_steps`).
// Source: Bancilhon & Ramakrishnan 1986 (semi-naive evaluation); Apt, Blair & Walker 1988 (stratified
// negation) - from memory.
#pragma once

#include <memory>
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
  const Rule* rule = nullptr;  // in the vector that was compiled
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

class CompiledRules;

enum class Chained {
  kDone,
  kLimit,   // a limit was hit (reported with code `rulebook-explodes`); the store holds what was found so far
  kDenied,  // what came onto the base may deny, by a `not`, what a rule concluded in it; the store is of no
            // use
};

// Rules compiled for one base of facts, and for all stores that stand on it.
// Cost: about one microsecond a condition. Threads: immutable; any number may run it at once, each on a store of
// its own.
class RuleProgram {
 public:
  // The rules must outlive it, and CheckStrata must have passed. `base` gets numbers for what the rules name.
  RuleProgram(const std::vector<Rule>& rules, FactStore& base);
  ~RuleProgram();

  // Applies the rules to the base itself, or to a store on it once the base is complete: there only what the
  // store's own facts add is joined. `recorder` may be null, and then costs nothing.
  // Cost on a base: the conditions that wait for an own fact.
  Chained Run(FactStore& store, Recorder* recorder, Diagnostics& diagnostics,
              const ChainLimits& limits = {}) const;

 private:
  std::unique_ptr<const CompiledRules> compiled_;
};

// The rules compiled and applied once. False when a limit was hit.
bool Chain(const std::vector<Rule>& rules, FactStore& store, Recorder* recorder, Diagnostics& diagnostics,
           const ChainLimits& limits = {});

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
