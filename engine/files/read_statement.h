// Statements, patterns and conditions read from YAML and checked against the words.
//
// A statement is a map with one key, its name, whose value is a map of slots; a statement with one slot may
// give its value alone (`element: B`), one with no slots (or all defaulted) may stand as a bare name
// (`overheats`). Checked: the name is known, the slots are, a value fits its slot's kind, a quantity has a
// unit of the slot's dimension and lies in the slot's range, a variable is used for one kind only.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "engine/model/statement.h"
#include "engine/model/unit.h"
#include "engine/model/words.h"
#include "engine/text/yaml.h"

namespace gearwhy {

// What a reader of statements may meet in the place it reads.
struct StatementContext {
  const Words& words;
  Diagnostics& diagnostics;
  const KindMembers* members = nullptr;  // checks names of open kinds when given
};

// A statement without variables; slots left out take their declared default, and it is an error where there
// is none. `want_event`: true: must be an event, false: must be a fact.
std::optional<Statement> ReadStatement(const YamlNode& node, bool want_event,
                                       const StatementContext& context);

// The variables met so far in one entry, to find one that is used for two kinds.
struct VariableUses {
  VariableKinds kinds;
  std::map<std::string, Place> first_use;
};

// The name of a statement and its slots' node: `no_drive: {range: R}` -> the key and the map. Reports what is
// no statement.
struct StatementShape {
  std::string name;
  Place place;                      // of the name
  const YamlNode* slots = nullptr;  // nullptr for a bare name
};
std::optional<StatementShape> ReadShape(const YamlNode& node, Diagnostics& diagnostics);

// A pattern. `may_leave_out`: slots left out match anything (conditions); otherwise they take their default
// or are an error.
std::optional<Pattern> ReadPattern(const YamlNode& node, bool want_event, bool may_leave_out,
                                   VariableUses& variables, const StatementContext& context);

// The items of a `when:` list. Variables in `bound` have been bound before (by the entry that this list
// belongs to).
std::vector<Condition> ReadConditions(const std::vector<YamlNode>& items, VariableUses& variables,
                                      const StatementContext& context, std::set<std::string> bound = {});

// Variables that positive conditions bind.
std::set<std::string> BoundVariables(const std::vector<Condition>& conditions);
// Reports each variable of `pattern` that is not in `bound`; `what` names the place: "this conclusion".
void RequireBound(const Pattern& pattern, const std::set<std::string>& bound, const std::string& what,
                  Diagnostics& diagnostics);

}  // namespace gearwhy
