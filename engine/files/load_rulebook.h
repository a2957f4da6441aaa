// Rulebook files -> Rulebook.
#pragma once

#include <optional>
#include <vector>

#include "engine/model/rulebook.h"
#include "engine/text/diagnostic.h"
#include "engine/text/source.h"

namespace gearwhy {

// Reads all files of a rulebook (and of a shop's folder laid over it) as one. Which file a thing stands in
// does not matter. Reports everything that is wrong and returns nothing if there was an error.
std::optional<Rulebook> LoadRulebook(const std::vector<int>& sources, const Sources& texts,
                                     Diagnostics& diagnostics);

}  // namespace gearwhy
