// Fact store: see fact_store.h.
#include "engine/chain/fact_store.h"

#include <cassert>
#include <cmath>
#include <functional>

namespace gearwhy {

namespace {

std::uint32_t HashOf(const Value& value) { return NumberHash().Mix(std::hash<Value>()(value)).Get(); }

std::uint32_t HashOf(Sense sense, const std::string& name) {
  return NumberHash().Mix(std::hash<std::string>()(name)).Mix(static_cast<std::uint64_t>(sense)).Get();
}

std::uint32_t HashOf(RelationId relation, std::span<const ValueId> slots) {
  NumberHash hash;
  hash.Mix(static_cast<std::uint64_t>(relation));
  for (const ValueId value : slots) hash.Mix(static_cast<std::uint64_t>(value));
  return hash.Get();
}

std::uint32_t HashOf(RelationId relation, int slot, ValueId value) {
  return NumberHash()
      .Mix(static_cast<std::uint64_t>(relation))
      .Mix(static_cast<std::uint64_t>(slot))
      .Mix(static_cast<std::uint64_t>(value))
      .Get();
}

std::optional<int> SomeNumber(int number) { return number < 0 ? std::nullopt : std::optional(number); }

}  // namespace

FactStore::FactStore(std::shared_ptr<const FactStore> base)
    : base_(std::move(base)),
      base_size_(base_->size()),
      base_values_(static_cast<int>(base_->values_.size())),
      base_relations_(static_cast<int>(base_->relations_.size())) {
  assert(base_->base_ == nullptr);
  // A case adds a few dozen facts: room for them at once.
  rows_.reserve(64);
  slots_.reserve(128);
  next_.reserve(192);
  lists_.reserve(128);
}

ValueId FactStore::NumberValue(const Value& value) {
  assert(!std::holds_alternative<double>(value) || !std::isnan(std::get<double>(value)));
  if (const auto known = FindValue(value)) return *known;
  const auto id = base_values_ + static_cast<ValueId>(values_.size());
  by_value_.Add(HashOf(value), id);
  values_.push_back(value);
  return id;
}

std::optional<ValueId> FactStore::FindValue(const Value& value) const {
  const std::uint32_t hash = HashOf(value);
  for (const FactStore* store : {base_.get(), this}) {
    if (store == nullptr) continue;
    const int id = store->by_value_.Find(hash, [&](int own) { return store->GetValue(own) == value; });
    if (id >= 0) return id;
  }
  return std::nullopt;
}

RelationId FactStore::NumberRelation(Sense sense, const std::string& name) {
  if (const auto known = FindRelation(sense, name)) return *known;
  const auto id = base_relations_ + static_cast<RelationId>(relations_.size());
  by_name_.Add(HashOf(sense, name), id);
  relations_.emplace_back(sense, name);
  return id;
}

std::optional<RelationId> FactStore::FindRelation(Sense sense, const std::string& name) const {
  const std::uint32_t hash = HashOf(sense, name);
  for (const FactStore* store : {base_.get(), this}) {
    if (store == nullptr) continue;
    const int id = store->by_name_.Find(hash, [&](int own) {
      const Relation& relation = store->GetRelation(own);
      return relation.first == sense && relation.second == name;
    });
    if (id >= 0) return id;
  }
  return std::nullopt;
}

std::pair<FactId, bool> FactStore::Add(Sense sense, const Statement& statement) {
  std::vector<ValueId> slots;
  slots.reserve(statement.slots.size());
  for (const Value& value : statement.slots) slots.push_back(NumberValue(value));
  return AddNumbered(NumberRelation(sense, statement.name), slots);
}

std::optional<FactId> FactStore::Find(Sense sense, const Statement& statement) const {
  const std::optional<RelationId> relation = FindRelation(sense, statement.name);
  if (!relation) return std::nullopt;
  std::vector<ValueId> slots;
  slots.reserve(statement.slots.size());
  for (const Value& value : statement.slots) {
    const std::optional<ValueId> id = FindValue(value);
    if (!id) return std::nullopt;
    slots.push_back(*id);
  }
  return FindNumbered(*relation, slots);
}

StoredFact FactStore::Get(FactId fact) const {
  const auto& [sense, name] = RelationOf(fact);
  StoredFact stored{sense, {name, {}}};
  const std::span<const ValueId> slots = SlotsOf(fact);
  stored.statement.slots.reserve(slots.size());
  for (const ValueId value : slots) stored.statement.slots.push_back(GetValue(value));
  return stored;
}

FactList FactStore::Named(Sense sense, const std::string& name) const {
  const std::optional<RelationId> relation = FindRelation(sense, name);
  return relation ? InRelation(*relation) : FactList();
}

int FactStore::FindOwn(std::uint32_t hash, RelationId relation, std::span<const ValueId> slots) const {
  return by_slots_.Find(hash, [&](FactId fact) {
    const std::span<const ValueId> there = SlotsOf(fact);
    if (RelationIdOf(fact) != relation || there.size() != slots.size()) return false;
    for (std::size_t slot = 0; slot < slots.size(); ++slot) {
      if (there[slot] != slots[slot]) return false;
    }
    return true;
  });
}

std::optional<FactId> FactStore::FindNumbered(RelationId relation, std::span<const ValueId> slots) const {
  const std::uint32_t hash = HashOf(relation, slots);
  const FactId of_base = base_ == nullptr ? -1 : base_->FindOwn(hash, relation, slots);
  return SomeNumber(of_base >= 0 ? of_base : FindOwn(hash, relation, slots));
}

std::pair<FactId, bool> FactStore::AddNumbered(RelationId relation, std::span<const ValueId> slots) {
  const std::uint32_t hash = HashOf(relation, slots);
  FactId known = base_ == nullptr ? -1 : base_->FindOwn(hash, relation, slots);
  if (known < 0) known = FindOwn(hash, relation, slots);
  if (known >= 0) return {known, false};
  const FactId fact = size();
  by_slots_.Add(hash, fact);
  rows_.push_back({relation, static_cast<int>(slots_.size())});
  slots_.insert(slots_.end(), slots.begin(), slots.end());
  next_.resize(next_.size() + slots.size() + 1, -1);
  Append(fact, relation, kNoSlot, 0);
  for (std::size_t slot = 0; slot < slots.size(); ++slot)
    Append(fact, relation, static_cast<int>(slot), slots[slot]);
  return {fact, true};
}

int FactStore::FindList(RelationId relation, int slot, ValueId value) const {
  return by_list_.Find(HashOf(relation, slot, value), [&](int number) {
    const List& list = lists_[At(number)];
    return list.relation == relation && list.slot == slot && list.value == value;
  });
}

void FactStore::Append(FactId fact, RelationId relation, int slot, ValueId value) {
  int number = FindList(relation, slot, value);
  if (number < 0) {
    number = static_cast<int>(lists_.size());
    by_list_.Add(HashOf(relation, slot, value), number);
    lists_.push_back({relation, slot, value, fact, -1, 0});
  }
  List& list = lists_[At(number)];
  if (list.last >= 0) next_[NextAt(list.last - base_size_, slot)] = fact;
  list.last = fact;
  ++list.size;
}

FactList FactStore::ListOf(RelationId relation, int slot, ValueId value) const {
  const int of_base = base_ == nullptr ? -1 : base_->FindList(relation, slot, value);
  const int own = FindList(relation, slot, value);
  FactId first = -1, first_own = -1;
  int size = 0;
  if (own >= 0) {
    first_own = lists_[At(own)].first;
    size = lists_[At(own)].size;
  }
  if (of_base >= 0) {
    first = base_->lists_[At(of_base)].first;
    size += base_->lists_[At(of_base)].size;
  } else {
    first = std::exchange(first_own, -1);
  }
  return {{this, slot, first, first_own}, size};
}

}  // namespace gearwhy
