// Fact store: statements with numbers, found by name and by what fills their slots.
//
// Values are interned, facts are kept in the order they were added, and an index on (relation, slot, value) makes joins cheap.
// A fact's number never changes; the store only grows.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <unordered_map>
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
  const StoredFact& Get(FactId fact) const { return facts_[static_cast<std::size_t>(fact)]; }
  // All facts of one sense and name, in order of number.
  const std::vector<FactId>& Named(Sense sense, const std::string& name) const;

 private:
  std::vector<StoredFact> facts_;
  // The implementer lays out the indexes.
};

}  // namespace gearwhy
