// Rulebook files -> Rulebook.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/model/rulebook.h"
#include "engine/text/diagnostic.h"
#include "engine/text/entry_shape.h"
#include "engine/text/source.h"

namespace gearwhy {

// A folder of a rulebook: the rulebook itself, or a shop's own that is laid over those before it.
struct BookLayer {
  std::string name;
  std::vector<int> sources;
  std::vector<std::string> units = {};  // the names of those that it has files of
};

// Reads all files of a rulebook as one, each layer laid over those before it (merge_layers.h). Which file a
// thing stands in does not matter. Reports everything that is wrong and returns nothing if there was an
// error. Where the text of a file is broken, only that is told: it may hold the very words that the others
// name.
// `without`: a change or an added entry of a layer that is left out, by the place of the whole.
std::optional<Rulebook> LoadRulebook(const std::vector<BookLayer>& layers, const Sources& texts,
                                     Diagnostics& diagnostics,
                                     const std::optional<Place>& without = std::nullopt);
// The keys of a rulebook file, and of all entries in it.
FileShape RulebookShape();

}  // namespace gearwhy
