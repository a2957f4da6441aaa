// Merge layers: what a shop's folders change, made in the trees of the files below them, before any loader
// sees these.
//
// In: the trees of a rulebook's files, each with its layer. Out: the same trees with each layer laid over those below
// it, and what was changed. Entries that a layer adds stand in its own files; its changes stand there under
// `changes`:
//
//   changes:
//     - {tune: moulded-lip-cracks, to: {chance: 3%}, because: ...}               # some keys of an entry
//     - {tune: {symptom: no_drive, cause: cannot_hold}, to: {how_often: usually}, because: ...}
//     - {replace: gauge-line-pressure, with: {says: ..., tells: [...], ...}, because: ...}
//     - {silence: parts-from-unknown-donor, because: ...}
//     - {extend: simpson-three-speed, with: {parts: {...}, facts: [...]}, because: ...}  # more in its lists and maps
//
// Method. What an entry is, and which keys of it hold lists or maps of further entries, say the shapes of the loaders
// (text/entry_shape.h), so all kinds of entry are changed by the same lines. An entry is named by its id, its
// name or the key that it alone has; or by keys and values that it, or the entry around it, has: a statement
// is meant by its name alone or with some of its slots. Layers are merged upwards: a change sees what the
// layers below have made. What a layer silences stays to be changed by those above, and goes when all is
// done, so that the later layer wins. Values keep the places where they were written: what is wrong with a
// new value is told at the change.
// Cost: for each change a walk over all entries, some 1 ms in the shipped rulebook; nothing without changes.
// Errors, each at its place: what is not there, with the nearest that is; what may be several things; what
// one layer changes twice; what a layer adds although a layer below has it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/model/layers.h"
#include "engine/text/diagnostic.h"
#include "engine/text/fields.h"
#include "engine/text/yaml.h"

namespace gearwhy {

struct LaidTree {
  YamlNode* root = nullptr;
  int layer = 0;
};

// Keeps in `layers` what was added and changed, and what is to be changed in `units`, the names of those that
// there are. Trees come in the order of their layers. Without errors the trees hold no silenced entry any
// more. `without`: a change or an added entry, by the place of the whole, that is left out as if it were not
// there.
void MergeLayers(const std::vector<LaidTree>& trees, const std::vector<std::string>& units,
                 const std::optional<Place>& without, Layers& layers, Diagnostics& diagnostics);

// The same in the file of a unit, which stands in `layer`: those of its changes that stand above.
std::vector<LayerChange> MergeIntoUnit(const std::string& unit, const LaidTree& tree,
                                       const std::vector<UnitChange>& changes, Diagnostics& diagnostics);

// Asks for the keys of `changes` in a rulebook file.
void ReadChanges(Fields& file);

}  // namespace gearwhy
