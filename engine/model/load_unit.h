// Unit file -> Unit.
#pragma once

#include <optional>

#include "engine/model/read_statement.h"
#include "engine/model/unit.h"
#include "engine/text/yaml.h"

namespace gearwhy {

// Reads one unit file. Reports everything that is wrong with its form and returns nothing if there was an error.
std::optional<Unit> LoadUnit(const YamlNode& root, const Words& words, Diagnostics& diagnostics);

// The names the unit offers for the open kinds `element`, `range`, `part`, `part_kind` and `variant`.
KindMembers MembersOf(const Unit& unit);

}  // namespace gearwhy
