// Statements as ids: see statement.h.
#include "engine/model/statement.h"

#include "engine/text/number.h"

namespace gearwhy {

std::string ShowValue(const Value& value) {
  if (const auto* name = std::get_if<std::string>(&value)) return *name;
  return ShowNumber(std::get<double>(value));
}

std::string StatementId(const Statement& statement) {
  std::string id = statement.name;
  for (const Value& value : statement.slots) id += ":" + ShowValue(value);
  return id;
}

}  // namespace gearwhy
