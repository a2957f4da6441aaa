// Unit file -> Unit.
//
// In: the tree of one file of rules/units/, and the words for its facts. Out: a Unit in which every name
// refers to something. Keys: unit, says, gearsets, joins, elements, parts, ranges, shifts, variants, facts;
// the file of a unit shows them all. Whether the arrangement works as a transmission is the drivetrain's to
// say (drivetrain/unit_check.h), and whether the file's stem is the unit's name, the caller's. Limits: 12
// gearsets, 32 elements, 8 of them one-way clutches (each doubles the work of solving), 32 ranges.
#pragma once

#include <optional>

#include "engine/files/read_statement.h"
#include "engine/model/unit.h"
#include "engine/text/entry_shape.h"
#include "engine/text/yaml.h"

namespace gearwhy {

// Reads one unit file. Reports everything that is wrong with its form and returns nothing if there was an
// error.
std::optional<Unit> LoadUnit(const YamlNode& root, const Words& words, Diagnostics& diagnostics);

// The keys of a unit file, and of all entries in it.
FileShape UnitShape();

}  // namespace gearwhy
