// Fact store: statements with numbers, found by name and by what fills their slots.
//
// Values are interned, so that a join compares whole numbers; facts are kept in the order they were added;
// an index on (relation, slot, value) makes joins cheap. A relation is a sense and a name: a fact and an
// observation of the same name are two. Numbers are equal when they are the same double (-0 and 0 are
// one); a number must not be NaN. A fact's number never changes; the store only grows.
//
// A store may stand on a base: a complete store that any number of stores share. What is in the base keeps
// its numbers there; what is added is numbered behind it and is seen by its own store alone. So the facts of
// a transmission are found once, and a case adds its own. Cost of Add and Find: as many hash look-ups as
// there are slots; of standing on a base: a pointer for each relation of it. Threads: a store that nobody
// adds to may be read, and stood on, by any number of them.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <iterator>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "engine/model/statement.h"
#include "engine/text/at.h"

namespace gearwhy {

using FactId = int;

struct StoredFact {
  Sense sense = Sense::kFact;
  Statement statement;
};

// Facts in order of number: those of the base, then a store's own. Valid as long as the store; facts that are
// added later may show at its end.
class FactList {
 public:
  class Iterator {
   public:
    using difference_type = std::ptrdiff_t;
    using value_type = FactId;
    using reference = FactId;
    using iterator_category = std::input_iterator_tag;
    Iterator() = default;
    Iterator(const FactList* list, std::size_t at) : list_(list), at_(at) {}
    FactId operator*() const { return (*list_)[at_]; }
    Iterator& operator++() {
      ++at_;
      return *this;
    }
    friend bool operator==(const Iterator& a, const Iterator& b) { return a.at_ == b.at_; }

   private:
    const FactList* list_ = nullptr;
    std::size_t at_ = 0;
  };

  FactList() = default;
  FactList(const std::vector<FactId>* base, const std::vector<FactId>* own) : base_(base), own_(own) {}
  std::size_t size() const { return BaseSize() + (own_ == nullptr ? 0 : own_->size()); }
  bool empty() const { return size() == 0; }
  FactId operator[](std::size_t i) const { return i < BaseSize() ? (*base_)[i] : (*own_)[i - BaseSize()]; }
  // The index of the first fact whose number is not below this.
  std::size_t LowerBound(FactId fact) const;
  Iterator begin() const { return {this, 0}; }
  Iterator end() const { return {this, size()}; }
  friend bool operator==(const FactList& list, const std::vector<FactId>& facts) {
    return std::equal(list.begin(), list.end(), facts.begin(), facts.end());
  }

 private:
  std::size_t BaseSize() const { return base_ == nullptr ? 0 : base_->size(); }
  const std::vector<FactId>* base_ = nullptr;
  const std::vector<FactId>* own_ = nullptr;
};

class FactStore {
 public:
  FactStore() = default;
  // On a base, which must stand on none itself.
  explicit FactStore(std::shared_ptr<const FactStore> base);

  // Adds it unless it is there; returns its number and whether it is new.
  std::pair<FactId, bool> Add(Sense sense, const Statement& statement);
  std::optional<FactId> Find(Sense sense, const Statement& statement) const;
  // The base's facts among them.
  int size() const { return base_size_ + static_cast<int>(facts_.size()); }
  int base_size() const { return base_size_; }
  const FactStore* base() const { return base_.get(); }  // may be null
  // Valid until the next Add.
  const StoredFact& Get(FactId fact) const {
    return fact < base_size_ ? base_->Get(fact) : facts_[At(fact - base_size_)];
  }
  // All facts of one sense and name, in order of number.
  FactList Named(Sense sense, const std::string& name) const;

  // What joins work with: numbers in place of names and values. Intern* makes a number where there is none
  // yet.
  using ValueId = int;
  using RelationId = int;
  ValueId InternValue(const Value& value);
  std::optional<ValueId> FindValue(const Value& value) const;
  const Value& GetValue(ValueId value) const {
    return value < base_values_ ? base_->GetValue(value) : values_[At(value - base_values_)];
  }
  RelationId InternRelation(Sense sense, const std::string& name);
  std::optional<RelationId> FindRelation(Sense sense, const std::string& name) const;

  std::pair<FactId, bool> AddInterned(RelationId relation, const std::vector<ValueId>& slots);
  std::optional<FactId> FindInterned(RelationId relation, const std::vector<ValueId>& slots) const;
  // What fills the slots of a fact.
  const std::vector<ValueId>& SlotsOf(FactId fact) const {
    return fact < base_size_ ? base_->SlotsOf(fact) : slots_[At(fact - base_size_)];
  }
  FactList InRelation(RelationId relation) const;
  // The facts of a relation that have this value in this slot.
  FactList With(RelationId relation, std::size_t slot, ValueId value) const;

 private:
  struct HashSlots {
    std::size_t operator()(const std::vector<ValueId>& slots) const;
  };
  struct Relation {
    std::vector<FactId> facts;
    std::unordered_map<std::vector<ValueId>, FactId, HashSlots> by_slots;
    std::deque<std::unordered_map<ValueId, std::vector<FactId>>> by_slot;  // by slot, then by value

    const std::vector<FactId>* With(std::size_t slot, ValueId value) const;
  };
  using Name = std::pair<Sense, std::string>;

  const Relation* OwnRelation(RelationId relation) const {
    const auto& own = relations_[At(relation)];
    return own ? &*own : nullptr;
  }
  const Relation* BaseRelation(RelationId relation) const {
    return base_ != nullptr && static_cast<std::size_t>(relation) < base_->relations_.size()
               ? base_->OwnRelation(relation)
               : nullptr;
  }
  const Name& NameOf(RelationId relation) const;

  std::shared_ptr<const FactStore> base_;  // may be null
  int base_size_ = 0;
  ValueId base_values_ = 0;
  std::vector<StoredFact> facts_;
  std::deque<std::vector<ValueId>> slots_;         // by fact; a deque, so that references last
  std::deque<std::optional<Relation>> relations_;  // by number; nothing where this store has added nothing
  std::map<Name, RelationId> relation_ids_;        // of those that the base has not
  std::deque<Name> names_;                         // the same, by number behind the base's
  std::unordered_map<Value, ValueId> value_ids_;
  std::deque<Value> values_;  // by number
};

}  // namespace gearwhy
