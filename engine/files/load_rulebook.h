// Rulebook files -> Rulebook.
#pragma once

#include <optional>
#include <vector>

#include "engine/model/rulebook.h"
#include "engine/text/diagnostic.h"
#include "engine/text/entry_shape.h"
#include "engine/text/source.h"

namespace gearwhy {

// Reads all files of a rulebook (and of a shop's folder laid over it) as one. Which file a thing stands in
// does not matter. Reports everything that is wrong and returns nothing if there was an error. Where the text
// of a file is broken, only that is told: it may hold the very words that the others name.
std::optional<Rulebook> LoadRulebook(const std::vector<int>& sources, const Sources& texts,
                                     Diagnostics& diagnostics);

// The keys of a rulebook file, and of all entries in it.
FileShape RulebookShape();

}  // namespace gearwhy
