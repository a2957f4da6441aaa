// Fact store: see fact_store.h.
#include "engine/chain/fact_store.h"

#include <cassert>
#include <cmath>

#include "engine/text/at.h"

namespace gearwhy {

std::size_t FactList::LowerBound(FactId fact) const {
  if (base_ != nullptr && !base_->empty() && base_->back() >= fact)
    return static_cast<std::size_t>(std::lower_bound(base_->begin(), base_->end(), fact) - base_->begin());
  if (own_ == nullptr) return BaseSize();
  return BaseSize() +
         static_cast<std::size_t>(std::lower_bound(own_->begin(), own_->end(), fact) - own_->begin());
}

FactStore::FactStore(std::shared_ptr<const FactStore> base)
    : base_(std::move(base)),
      base_size_(base_->size()),
      base_values_(static_cast<ValueId>(base_->values_.size())),
      relations_(base_->relations_.size()) {
  assert(base_->base_ == nullptr);
}

std::size_t FactStore::HashSlots::operator()(const std::vector<ValueId>& slots) const {
  // FNV-1a over the value numbers (Fowler, Noll & Vo, 64 bit) - from memory.
  std::uint64_t hash = 14695981039346656037ULL;
  for (const ValueId value : slots) {
    hash ^= static_cast<std::uint64_t>(value);
    hash *= 1099511628211ULL;
  }
  return static_cast<std::size_t>(hash ^ (hash >> 32));
}

FactStore::ValueId FactStore::InternValue(const Value& value) {
  assert(!std::holds_alternative<double>(value) || !std::isnan(std::get<double>(value)));
  if (const auto known = FindValue(value)) return *known;
  const auto id = base_values_ + static_cast<ValueId>(values_.size());
  value_ids_.emplace(value, id);
  values_.push_back(value);
  return id;
}

std::optional<FactStore::ValueId> FactStore::FindValue(const Value& value) const {
  if (base_ != nullptr) {
    if (const auto known = base_->FindValue(value)) return known;
  }
  const auto entry = value_ids_.find(value);
  if (entry == value_ids_.end()) return std::nullopt;
  return entry->second;
}

FactStore::RelationId FactStore::InternRelation(Sense sense, const std::string& name) {
  if (const auto known = FindRelation(sense, name)) return *known;
  const auto id = static_cast<RelationId>(relations_.size());
  relation_ids_.emplace(Name(sense, name), id);
  relations_.emplace_back();
  names_.emplace_back(sense, name);
  return id;
}

std::optional<FactStore::RelationId> FactStore::FindRelation(Sense sense, const std::string& name) const {
  if (base_ != nullptr) {
    if (const auto known = base_->FindRelation(sense, name)) return known;
  }
  const auto entry = relation_ids_.find(Name(sense, name));
  if (entry == relation_ids_.end()) return std::nullopt;
  return entry->second;
}

const FactStore::Name& FactStore::NameOf(RelationId relation) const {
  const std::size_t of_base = base_ == nullptr ? 0 : base_->relations_.size();
  return static_cast<std::size_t>(relation) < of_base ? base_->NameOf(relation)
                                                      : names_[static_cast<std::size_t>(relation) - of_base];
}

std::pair<FactId, bool> FactStore::Add(Sense sense, const Statement& statement) {
  std::vector<ValueId> slots;
  slots.reserve(statement.slots.size());
  for (const Value& value : statement.slots) slots.push_back(InternValue(value));
  return AddInterned(InternRelation(sense, statement.name), slots);
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
  return FindInterned(*relation, slots);
}

FactList FactStore::Named(Sense sense, const std::string& name) const {
  const std::optional<RelationId> relation = FindRelation(sense, name);
  return relation ? InRelation(*relation) : FactList();
}

std::pair<FactId, bool> FactStore::AddInterned(RelationId relation_id, const std::vector<ValueId>& slots) {
  if (const Relation* base = BaseRelation(relation_id)) {
    const auto known = base->by_slots.find(slots);
    if (known != base->by_slots.end()) return {known->second, false};
  }
  auto& own = relations_[At(relation_id)];
  if (!own) own.emplace();
  Relation& relation = *own;
  const FactId fact = size();
  const auto [entry, is_new] = relation.by_slots.emplace(slots, fact);
  if (!is_new) return {entry->second, false};
  const auto& [sense, name] = NameOf(relation_id);
  StoredFact stored{sense, {name, {}}};
  stored.statement.slots.reserve(slots.size());
  while (relation.by_slot.size() < slots.size()) relation.by_slot.emplace_back();
  for (std::size_t slot = 0; slot < slots.size(); ++slot) {
    stored.statement.slots.push_back(GetValue(slots[slot]));
    relation.by_slot[slot][slots[slot]].push_back(fact);
  }
  relation.facts.push_back(fact);
  facts_.push_back(std::move(stored));
  slots_.push_back(slots);
  return {fact, true};
}

std::optional<FactId> FactStore::FindInterned(RelationId relation_id,
                                              const std::vector<ValueId>& slots) const {
  for (const Relation* relation : {BaseRelation(relation_id), OwnRelation(relation_id)}) {
    if (relation == nullptr) continue;
    const auto entry = relation->by_slots.find(slots);
    if (entry != relation->by_slots.end()) return entry->second;
  }
  return std::nullopt;
}

FactList FactStore::InRelation(RelationId relation) const {
  const Relation* base = BaseRelation(relation);
  const Relation* own = OwnRelation(relation);
  return {base == nullptr ? nullptr : &base->facts, own == nullptr ? nullptr : &own->facts};
}

const std::vector<FactId>* FactStore::Relation::With(std::size_t slot, ValueId value) const {
  if (slot >= by_slot.size()) return nullptr;
  const auto entry = by_slot[slot].find(value);
  return entry == by_slot[slot].end() ? nullptr : &entry->second;
}

FactList FactStore::With(RelationId relation, std::size_t slot, ValueId value) const {
  const Relation* base = BaseRelation(relation);
  const Relation* own = OwnRelation(relation);
  return {base == nullptr ? nullptr : base->With(slot, value),
          own == nullptr ? nullptr : own->With(slot, value)};
}

}  // namespace gearwhy
