// Case file -> Case.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "engine/model/case.h"
#include "engine/model/rulebook.h"
#include "engine/model/unit.h"
#include "engine/text/entry_shape.h"
#include "engine/text/yaml.h"

namespace gearwhy {

// Gives the unit of a name, or reports at the place why there is none and gives nullptr.
using FindUnit = std::function<const Unit*(const std::string& name, const Place& place)>;

// Gives the case of a name that another has come back from, or reports at the place why there is none.
using FindCase = std::function<std::optional<Case>(const std::string& name, const Place& place)>;

// Reads one case file whose stem is `id`. Names of elements, ranges and parts are checked against its unit.
// Reports everything that is wrong and returns nothing if there was an error.
std::optional<Case> LoadCase(const YamlNode& root, const std::string& id, const Rulebook& book,
                             const FindUnit& find_unit, const FindCase& find_case, Diagnostics& diagnostics);

// The keys of a case file, and of all entries in it.
FileShape CaseShape();

}  // namespace gearwhy
