// Join: all ways in which the conditions of one rule hold, found by index look-ups one condition after the
// other.
//
// In: conditions, values of variables bound beforehand, a store. Out: match after match, on demand.
// Method. The conditions are put in an order once: a comparison or `not` as soon as its variables are
// bound, else the statement with the most bound slots (then of the smallest relation, then as written).
// Each statement is looked up through the shortest list that one of its bound slots gives. The search
// keeps its own stack, so that a long rule cannot overflow the program's. Every match is found exactly
// once: two matches differ in a fact.
// Facts may be added to the store between two matches: a statement meets only facts in its range.
// Private to engine/chain.
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "engine/chain/fact_store.h"

namespace gearwhy {

using ValueId = FactStore::ValueId;
inline constexpr ValueId kUnbound = std::numeric_limits<ValueId>::min();

// Values that stand in conditions, as numbers. One that is in no fact gets a negative number, which no fact
// has.
class ValueNumbers {
 public:
  explicit ValueNumbers(const FactStore& store) : store_(store) {}
  ValueId Number(const Value& value);
  const Value& Get(ValueId id) const;

 private:
  const FactStore& store_;
  std::vector<Value> others_;  // -1, -2, ...
};

// The variables of one rule, numbered in order of name.
class VariableNumbers {
 public:
  // All variables of the conditions, and those bound beforehand.
  VariableNumbers(const std::vector<Condition>& conditions, const Bindings& given);
  // Its number, or -1 when it is none of these.
  int Number(const std::string& name) const;
  std::size_t size() const { return names_.size(); }
  // What the numbered values say, sorted by name; unbound variables are left out.
  Bindings Show(const std::vector<ValueId>& values, const ValueNumbers& value_numbers) const;

 private:
  std::vector<std::string> names_;
};

// A term with names replaced by numbers.
struct NumberedTerm {
  enum class Kind { kAnything, kVariable, kValue };
  Kind kind = Kind::kAnything;
  int number = -1;  // of the variable or the value
};
NumberedTerm NumberTerm(const Term& term, const VariableNumbers& variables, ValueNumbers& values);

// Facts with first <= number < end.
struct FactRange {
  FactId first = 0;
  FactId end = 0;
};

class Join {
 public:
  // All references must outlive this. `bound`: by variable, a value or kUnbound. `ranges`: one for each
  // condition; only those of statements matter, a `not` sees the whole store. `begin_with`: the condition
  // looked up first, or -1 for the best.
  Join(const std::vector<Condition>& conditions, const VariableNumbers& variables,
       ValueNumbers& value_numbers, const FactStore& store, std::vector<ValueId> bound,
       const std::vector<FactRange>& ranges, int begin_with = -1);

  // Goes to the next match; false when there is none left, or when `steps` has reached `max_steps`. `steps`
  // grows with each fact tried and each comparison made.
  bool Next(long& steps, long max_steps = std::numeric_limits<long>::max());
  // Of the current match: the value of each variable, the fact of each condition (-1 for a comparison or a
  // `not`).
  const std::vector<ValueId>& values() const { return values_; }
  const std::vector<FactId>& facts() const { return facts_; }

 private:
  // What one slot of a fact that is tried must hold.
  struct SlotTest {
    std::size_t slot = 0;
    NumberedTerm term;
    bool binds = false;         // the variable gets its value here
    bool known_before = false;  // its value is known before the fact is, so the fact can be looked up by it
  };
  // One condition, at its place in the order of the search.
  struct Step {
    const Condition* condition = nullptr;
    std::size_t index = 0;  // in the written order
    NumberedTerm left, right;
    std::optional<FactStore::RelationId> relation;
    std::size_t slot_count = 0;
    bool exact = false;  // every slot is known before
    std::vector<SlotTest> tests;
    FactRange range;
    // Where the search stands: candidates from `next` to before `end`.
    FactList candidates;
    std::size_t next = 0, end = 0;
    std::vector<FactId> looked_up;  // holds the candidate of an exact step
  };

  void Plan(const std::vector<Condition>& conditions, const VariableNumbers& variables,
            const std::vector<FactRange>& ranges, int begin_with);
  void PlanTests(Step& step, std::vector<bool>& bound);
  void Enter(Step& step);
  bool Advance(Step& step, long& steps, long max_steps);
  bool Fits(const Step& step, FactId fact);
  ValueId Known(const NumberedTerm& term) const;

  ValueNumbers& value_numbers_;
  const FactStore& store_;
  std::vector<ValueId> values_;
  std::vector<FactId> facts_;
  std::vector<Step> steps_;
  enum class State { kFresh, kRunning, kDone };
  State state_ = State::kFresh;
};

}  // namespace gearwhy
