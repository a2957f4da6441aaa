// Fact store: statements with numbers, found by name and by what fills their slots.
//
// Values are interned, so that a join compares whole numbers; facts are kept in the order they were added;
// an index on (relation, slot, value) makes joins cheap. A relation is a sense and a name: a fact and an
// observation of the same name are two. Numbers are equal when they are the same double (-0 and 0 are
// one); a number must not be NaN. A fact's number never changes; the store only grows.
// Cost of Add and Find: as many hash look-ups as there are slots.
#pragma once

#include <cstdint>
#include <deque>
#include <map>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "engine/model/statement.h"

namespace gearwhy {

using FactId = int;

struct StoredFact {
  Sense sense = Sense::kFact;
  Statement statement;
};

class FactStore {
 public:
  // Adds it unless it is there; returns its number and whether it is new.
  std::pair<FactId, bool> Add(Sense sense, const Statement& statement);
  std::optional<FactId> Find(Sense sense, const Statement& statement) const;
  int size() const { return static_cast<int>(facts_.size()); }
  // Valid until the next Add.
  const StoredFact& Get(FactId fact) const { return facts_[static_cast<std::size_t>(fact)]; }
  // All facts of one sense and name, in order of number.
  const std::vector<FactId>& Named(Sense sense, const std::string& name) const;

  // What joins work with: numbers in place of names and values. Intern* makes a number where there is none
  // yet. The lists of facts are in order of number; a reference to one stays valid, and the list grows, as
  // facts are added.
  using ValueId = int;
  using RelationId = int;
  ValueId InternValue(const Value& value);
  std::optional<ValueId> FindValue(const Value& value) const;
  const Value& GetValue(ValueId value) const { return values_[static_cast<std::size_t>(value)]; }
  RelationId InternRelation(Sense sense, const std::string& name);
  std::optional<RelationId> FindRelation(Sense sense, const std::string& name) const;

  std::pair<FactId, bool> AddInterned(RelationId relation, const std::vector<ValueId>& slots);
  std::optional<FactId> FindInterned(RelationId relation, const std::vector<ValueId>& slots) const;
  // What fills the slots of a fact.
  const std::vector<ValueId>& SlotsOf(FactId fact) const { return slots_[static_cast<std::size_t>(fact)]; }
  const std::vector<FactId>& InRelation(RelationId relation) const;
  // The facts of a relation that have this value in this slot.
  const std::vector<FactId>& With(RelationId relation, std::size_t slot, ValueId value) const;

 private:
  struct HashSlots {
    std::size_t operator()(const std::vector<ValueId>& slots) const;
  };
  struct Relation {
    Sense sense = Sense::kFact;
    std::string name;
    std::vector<FactId> facts;
    std::unordered_map<std::vector<ValueId>, FactId, HashSlots> by_slots;
    std::deque<std::unordered_map<ValueId, std::vector<FactId>>> by_slot;  // by slot, then by value
  };

  std::vector<StoredFact> facts_;
  std::deque<std::vector<ValueId>> slots_;  // by fact
  std::deque<Relation> relations_;          // a deque, so that references to what is in it last
  std::map<std::pair<Sense, std::string>, RelationId> relation_ids_;
  std::unordered_map<Value, ValueId> value_ids_;
  std::deque<Value> values_;  // by number
};

}  // namespace gearwhy
