// Fact store: see fact_store.h.
#include "engine/chain/fact_store.h"

#include <cassert>
#include <cmath>

namespace gearwhy {

namespace {
const std::vector<FactId> kNoFacts;
}  // namespace

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
  const auto [entry, is_new] = value_ids_.emplace(value, static_cast<ValueId>(values_.size()));
  if (is_new) values_.push_back(value);
  return entry->second;
}

std::optional<FactStore::ValueId> FactStore::FindValue(const Value& value) const {
  const auto entry = value_ids_.find(value);
  if (entry == value_ids_.end()) return std::nullopt;
  return entry->second;
}

FactStore::RelationId FactStore::InternRelation(Sense sense, const std::string& name) {
  const auto [entry, is_new] =
      relation_ids_.emplace(std::pair(sense, name), static_cast<RelationId>(relations_.size()));
  if (is_new) {
    relations_.emplace_back();
    relations_.back().sense = sense;
    relations_.back().name = name;
  }
  return entry->second;
}

std::optional<FactStore::RelationId> FactStore::FindRelation(Sense sense, const std::string& name) const {
  const auto entry = relation_ids_.find(std::pair(sense, name));
  if (entry == relation_ids_.end()) return std::nullopt;
  return entry->second;
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

const std::vector<FactId>& FactStore::Named(Sense sense, const std::string& name) const {
  const std::optional<RelationId> relation = FindRelation(sense, name);
  return relation ? InRelation(*relation) : kNoFacts;
}

std::pair<FactId, bool> FactStore::AddInterned(RelationId relation_id, const std::vector<ValueId>& slots) {
  Relation& relation = relations_[static_cast<std::size_t>(relation_id)];
  const FactId fact = size();
  const auto [entry, is_new] = relation.by_slots.emplace(slots, fact);
  if (!is_new) return {entry->second, false};
  StoredFact stored{relation.sense, {relation.name, {}}};
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
  const Relation& relation = relations_[static_cast<std::size_t>(relation_id)];
  const auto entry = relation.by_slots.find(slots);
  if (entry == relation.by_slots.end()) return std::nullopt;
  return entry->second;
}

const std::vector<FactId>& FactStore::InRelation(RelationId relation) const {
  return relations_[static_cast<std::size_t>(relation)].facts;
}

const std::vector<FactId>& FactStore::With(RelationId relation_id, std::size_t slot, ValueId value) const {
  const Relation& relation = relations_[static_cast<std::size_t>(relation_id)];
  if (slot >= relation.by_slot.size()) return kNoFacts;
  const auto entry = relation.by_slot[slot].find(value);
  return entry == relation.by_slot[slot].end() ? kNoFacts : entry->second;
}

}  // namespace gearwhy
