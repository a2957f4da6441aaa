// Join: all ways in which the conditions of one rule hold, found by index look-ups one condition after the
// other.
//
// In: a plan (conditions in the order of the search, made once), values of variables bound beforehand, a
// store. Out: match after match, on demand.
// Method. A plan puts a comparison or `not` as soon as its variables are bound, else the statement with the
// most bound slots (then of the smallest relation, then as written). A search looks each statement up through
// the shortest list that one of its bound slots gives. It keeps its own stack, so that a long rule cannot
// overflow the program's. Every match is found exactly once: two matches differ in a fact. Facts may be added
// to the store between two matches: a statement meets only facts below a number. Threads: a plan is
// immutable; a search is one thread's. Private to engine/chain.
#pragma once

#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "engine/chain/fact_store.h"

namespace gearwhy {

inline constexpr ValueId kUnbound = std::numeric_limits<ValueId>::min();

// The variables of one rule, numbered in order of name.
class VariableNumbers {
 public:
  // All variables of the conditions, and those bound beforehand.
  explicit VariableNumbers(const std::vector<Condition>& conditions, const Bindings& given = {});
  // Its number, or -1 when it is none of these.
  int Number(const std::string& name) const;
  std::size_t size() const { return names_.size(); }
  const std::string& Name(std::size_t variable) const { return names_[variable]; }

 private:
  std::vector<std::string> names_;
};

// A term with names replaced by numbers.
struct NumberedTerm {
  enum class Kind { kAnything, kVariable, kValue };
  Kind kind = Kind::kAnything;
  int number = -1;  // of the variable or the value
};
using NumberOfValue = std::function<ValueId(const Value&)>;
NumberedTerm NumberTerm(const Term& term, const VariableNumbers& variables, const NumberOfValue& number);

struct Plan {
  // What one slot of a fact that is tried must hold.
  struct SlotTest {
    int slot = 0;
    NumberedTerm term;
    bool binds = false;         // the variable gets its value here
    bool known_before = false;  // its value is known before the fact is, so the fact can be looked up by it
  };
  struct Step {
    Condition::Kind kind = Condition::Kind::kStatement;
    int condition = 0;  // in the written order
    bool begins = false;
    bool before_it = false;  // written before the condition that the plan begins with
    // Of a statement or a `not`.
    RelationId relation = -1;  // -1: no fact has it
    std::size_t slot_count = 0;
    bool exact = false;  // every slot is known before
    std::vector<SlotTest> tests;
    // Of a comparison.
    NumberedTerm left, right;
    Comparison comparison = Comparison::kEqual;
    double share_of_right = 1;
  };
  std::vector<Step> steps;
  std::size_t conditions = 0, variables = 0;
};

// What the names in conditions are called in one store.
struct Numbering {
  const VariableNumbers& variables;
  NumberOfValue value;
  std::function<RelationId(Sense, const std::string&)> relation;
  std::function<std::size_t(RelationId)> size = {};  // of a relation; without it all are alike
};
// Of a store that gets numbers for what has none yet.
Numbering NumberingIn(FactStore& store, const VariableNumbers& variables);
// `begin_with`: the condition looked up first, or -1 for the best. `bound`: by variable, whether it is bound
// beforehand.
Plan MakePlan(const std::vector<Condition>& conditions, const Numbering& numbering, std::vector<bool> bound,
              int begin_with = -1);

// Which facts statements meet: those below `end`; where a plan begins with a condition, those written before
// it meet the facts below `old`, and it meets `first` alone. A `not` sees the whole store.
struct Meets {
  FactId end = 0;
  FactId old = 0;
  FactId first = -1;
};

class Search {
 public:
  // `others`: values that are in no fact, numbered -1, -2 and so on.
  explicit Search(const FactStore& store, const std::vector<Value>* others = nullptr)
      : store_(store), others_(others) {}

  // `bound`: by variable, a value or kUnbound; empty where none is bound. The plan must outlive the search.
  void Begin(const Plan& plan, const Meets& meets, const std::vector<ValueId>& bound = {});
  // Goes to the next match; false when there is none left, or when `steps` has reached `max_steps`. `steps`
  // grows with each fact tried and each comparison made.
  bool Next(long& steps, long max_steps = std::numeric_limits<long>::max());
  // Of the current match: the value of each variable, the fact of each condition (-1 for a comparison or a
  // `not`).
  const std::vector<ValueId>& values() const { return values_; }
  const std::vector<FactId>& facts() const { return facts_; }
  ValueId Known(const NumberedTerm& term) const;
  const Value& GetValue(ValueId id) const;

 private:
  // Where the search stands at one step.
  struct Stand {
    FactList candidates;
    FactList::Iterator next;
    bool asked = false;  // a comparison or a `not` is asked once
  };

  void Enter(std::size_t level);
  FactList Candidates(const Plan::Step& step);
  bool Advance(std::size_t level, long& steps, long max_steps);
  bool Fits(const Plan::Step& step, FactId fact);
  bool Compares(const Plan::Step& step) const;

  const FactStore& store_;
  const std::vector<Value>* others_;
  const Plan* plan_ = nullptr;
  Meets meets_;
  std::vector<ValueId> values_;
  std::vector<FactId> facts_;
  std::vector<Stand> stands_;  // by step
  std::vector<ValueId> slots_;
  enum class State { kFresh, kRunning, kDone };
  State state_ = State::kDone;
};

// What the variables are in a search's current match, sorted by name; unbound ones are left out.
Bindings ShowBindings(const VariableNumbers& variables, const Search& search);

// Conditions asked of a complete store once, from given bindings.
class Query {
 public:
  // All must outlive this.
  Query(const std::vector<Condition>& conditions, const FactStore& store, const Bindings& given);
  Query(const Query&) = delete;
  bool Next();
  // Of the current match.
  Bindings bindings() const { return ShowBindings(variables_, search_); }
  const std::vector<FactId>& facts() const { return search_.facts(); }

 private:
  ValueId Number(const Value& value);

  const FactStore& store_;
  VariableNumbers variables_;
  std::vector<Value> others_;
  Plan plan_;
  Search search_;
  long steps_ = 0;
};

}  // namespace gearwhy
