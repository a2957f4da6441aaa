// Layer targets: the entries in trees of files that a change can speak of, and the one that it means.
//
// Which entries there are say the shapes of the loaders: members of a list or a map of entries, and of plain
// lists and maps at the top or in a unit, as `how_often` or `facts`; each with the entries in it. An address
// is
//   - a name: the id of an entry, or the name of one at the top of a file; of a unit, the unit;
//   - a map: each key is a kind of entry with its name (`chart: no-drive`), or a key of the entry or of one around it with its
//     value (`symptom: no_drive`), and at least one of them is of the entry itself. A name stands for a statement of
//     that name, and a map for one that has these slots so.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "engine/text/diagnostic.h"
#include "engine/text/entry_shape.h"
#include "engine/text/yaml.h"

namespace gearwhy {

struct LaidTree;

struct LayerTarget {
  std::string kind;                   // "chart"; of a plain value the key of its list or map, "how_often"
  std::string name;                   // its id or name; empty where it has none
  std::string called;                 // "no-drive: {cannot_hold: $e}"
  const EntryShape* shape = nullptr;  // null: a plain value, or a statement
  YamlNode* node = nullptr;
  YamlNode* holder = nullptr;      // the list or map it stands in; null: the root
  Place* key_place = nullptr;      // of a member of a map
  std::vector<Place> places = {};  // by which others know it, its name first
};

// The entry that is meant, or nothing after reporting that there is none, or several.
std::optional<LayerTarget> FindTarget(const FileShape& shapes, bool roots_are_entries,
                                      const std::vector<LaidTree>& trees, const YamlNode& address,
                                      Diagnostics& diagnostics);

// The entries at the top of a file, and in these, that have names of their own.
std::vector<LayerTarget> NamedEntries(const FileShape& shapes, YamlNode& root);

// All entries at the top of a file.
std::vector<LayerTarget> TopEntries(const FileShape& shapes, YamlNode& root);

// Takes the entries out of a tree whose nodes stand at these places.
void TakeOut(const FileShape& shapes, bool roots_are_entries, YamlNode& root, const std::set<Place>& places);

// The shape of a kind of entry, "chart" or "slot|name"; null where it is none.
const EntryShape* FindKind(const FileShape& shapes, std::string_view takes);
// The field of an entry; null where it has none of the name, or there is no entry.
const FieldShape* FindField(const EntryShape* shape, std::string_view key);

}  // namespace gearwhy
