// Statements as ids: see statement.h.
#include "engine/model/statement.h"

#include <functional>

#include "engine/text/number.h"

namespace gearwhy {

std::string ShowValue(const Value& value) {
  if (const auto* name = std::get_if<std::string>(&value)) return *name;
  return ShowNumber(std::get<double>(value));
}

std::size_t StatementHash::operator()(const Statement& statement) const {
  std::size_t hash = std::hash<std::string>()(statement.name);
  for (const Value& value : statement.slots) hash = hash * 31 + std::hash<Value>()(value);
  return hash;
}

std::string StatementId(const Statement& statement) {
  std::string id = statement.name;
  for (const Value& value : statement.slots) id += ":" + ShowValue(value);
  return id;
}

}  // namespace gearwhy
