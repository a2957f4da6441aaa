// Fact store: statements with numbers, found by name and by what fills their slots.
//
// Values are numbered, so that a join compares whole numbers; facts are kept in the order they were added. A
// relation is a sense and a name: a fact and an observation of the same name are two. Numbers are equal when
// they are the same double (-0 and 0 are one); a number must not be NaN. A fact's number never changes; the
// store only grows.
//
// Method. A fact is its relation and the numbers of its values, in one array for all. Each fact names the next of
// its relation, and for each slot the next with the same value there, so a list needs its ends alone.
// A store may stand on a base: a complete store that any number of stores share. What is in the base keeps
// its numbers there; what is added is numbered behind it and is seen by its own store alone. So the facts of
// a transmission are found once, and a case adds its own.
// Cost of Add and Find: as many look-ups by hash as there are slots; some 50 bytes a fact of two slots; of
// standing on a base: nothing that grows with it. Threads: a store that nobody adds to may be read, and stood
// on, by any number of them.
#pragma once

#include <cstddef>
#include <iterator>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "engine/chain/number_table.h"
#include "engine/model/statement.h"
#include "engine/text/at.h"

namespace gearwhy {

using FactId = int;
using ValueId = int;
using RelationId = int;
using Relation = std::pair<Sense, std::string>;

struct StoredFact {
  Sense sense = Sense::kFact;
  Statement statement;
};

class FactStore;

// Facts in order of number: those of the base, then a store's own. Valid as long as the store stays where it
// is; facts that are added later may show at its end.
class FactList {
 public:
  class Iterator {
   public:
    using difference_type = std::ptrdiff_t;
    using value_type = FactId;
    using reference = FactId;
    using pointer = const FactId*;
    using iterator_category = std::input_iterator_tag;
    Iterator() = default;
    Iterator(const FactStore* store, int slot, FactId fact, FactId own)
        : store_(store), slot_(slot), fact_(fact), own_(own) {}
    FactId operator*() const { return fact_; }
    Iterator& operator++();
    // Of one list.
    friend bool operator==(const Iterator& a, const Iterator& b) { return a.fact_ == b.fact_; }

   private:
    const FactStore* store_ = nullptr;  // null: of a list of one fact
    int slot_ = 0;
    FactId fact_ = -1;  // -1 at the end
    FactId own_ = -1;   // the first that is the store's own, while the fact is the base's
  };

  FactList() = default;
  explicit FactList(FactId only) : begin_(nullptr, 0, only, -1), size_(1) {}
  FactList(Iterator begin, int size) : begin_(begin), size_(static_cast<std::size_t>(size)) {}
  std::size_t size() const { return size_; }
  bool empty() const { return size_ == 0; }
  Iterator begin() const { return begin_; }
  Iterator end() const { return {}; }
  friend bool operator==(const FactList& list, const std::vector<FactId>& facts) {
    return std::vector<FactId>(list.begin(), list.end()) == facts;
  }

 private:
  Iterator begin_;
  std::size_t size_ = 0;
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
  int size() const { return base_size_ + static_cast<int>(rows_.size()); }
  bool has_base() const { return base_ != nullptr; }
  int base_size() const { return base_size_; }
  const Relation& RelationOf(FactId fact) const { return GetRelation(RelationIdOf(fact)); }
  // Written out anew each time.
  StoredFact Get(FactId fact) const;
  // All facts of one sense and name, in order of number.
  FactList Named(Sense sense, const std::string& name) const;

  // What joins work with: numbers in place of names and values. Number* makes a number where there is none
  // yet.
  ValueId NumberValue(const Value& value);
  std::optional<ValueId> FindValue(const Value& value) const;
  const Value& GetValue(ValueId value) const {
    return value < base_values_ ? base_->GetValue(value) : values_[At(value - base_values_)];
  }
  RelationId NumberRelation(Sense sense, const std::string& name);
  std::optional<RelationId> FindRelation(Sense sense, const std::string& name) const;
  const Relation& GetRelation(RelationId relation) const {
    return relation < base_relations_ ? base_->GetRelation(relation)
                                      : relations_[At(relation - base_relations_)];
  }

  std::pair<FactId, bool> AddNumbered(RelationId relation, std::span<const ValueId> slots);
  std::optional<FactId> FindNumbered(RelationId relation, std::span<const ValueId> slots) const;
  RelationId RelationIdOf(FactId fact) const {
    return fact < base_size_ ? base_->RelationIdOf(fact) : rows_[At(fact - base_size_)].relation;
  }
  // What fills the slots of a fact. Valid until the next fact is added.
  std::span<const ValueId> SlotsOf(FactId fact) const {
    if (fact < base_size_) return base_->SlotsOf(fact);
    const std::size_t own = At(fact - base_size_);
    const std::size_t first = At(rows_[own].first);
    const std::size_t end = own + 1 < rows_.size() ? At(rows_[own + 1].first) : slots_.size();
    return {slots_.data() + first, end - first};
  }
  FactList InRelation(RelationId relation) const { return ListOf(relation, kNoSlot, 0); }
  // The facts of a relation that have this value in this slot.
  FactList With(RelationId relation, int slot, ValueId value) const { return ListOf(relation, slot, value); }

 private:
  friend class FactList::Iterator;
  static constexpr int kNoSlot = -1;
  struct Row {
    RelationId relation = 0;
    int first = 0;  // of its slots
  };
  // The facts of a relation, or those that have a value in a slot of it.
  struct List {
    RelationId relation = 0;
    int slot = kNoSlot;
    ValueId value = 0;
    FactId first = -1, last = -1;
    int size = 0;
  };

  FactList ListOf(RelationId relation, int slot, ValueId value) const;
  int FindList(RelationId relation, int slot, ValueId value) const;  // among its own; -1 for none
  void Append(FactId fact, RelationId relation, int slot, ValueId value);
  int FindOwn(std::uint32_t hash, RelationId relation, std::span<const ValueId> slots) const;
  // The next fact of the list that goes by this slot, among those of the store that the fact is in; -1 for
  // none.
  FactId Next(FactId fact, int slot) const {
    if (fact < base_size_) return base_->Next(fact, slot);
    return next_[NextAt(fact - base_size_, slot)];
  }
  std::size_t NextAt(int own, int slot) const { return At(rows_[At(own)].first + own + 1 + slot); }

  std::shared_ptr<const FactStore> base_;  // may be null
  int base_size_ = 0;
  int base_values_ = 0;
  int base_relations_ = 0;
  // Its own, each numbered behind the base's.
  std::vector<Value> values_;
  std::vector<Relation> relations_;
  std::vector<Row> rows_;       // by fact
  std::vector<ValueId> slots_;  // of all facts, one behind the other
  std::vector<FactId> next_;    // of each fact: in its relation, then for each slot
  std::vector<List> lists_;
  NumberTable by_value_, by_name_, by_slots_, by_list_;
};

inline FactList::Iterator& FactList::Iterator::operator++() {
  fact_ = store_ == nullptr ? -1 : store_->Next(fact_, slot_);
  if (fact_ < 0) fact_ = std::exchange(own_, -1);
  return *this;
}

}  // namespace gearwhy
