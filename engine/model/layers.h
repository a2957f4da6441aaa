// Layers: the folders a rulebook was read from, each laid over those before it, and what each changed.
//
// In: files/merge_layers.h makes it. Out: immutable. The first layer is the rulebook itself, those behind it are a shop's own.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/text/source.h"
#include "engine/text/yaml.h"

namespace gearwhy {

// One change that a layer makes of something in the layers below it.
struct LayerChange {
  enum class Verb { kTune, kReplace, kSilence, kExtend };
  // A value that is not what it was; each as YAML on one line, empty where there was, or is, none.
  struct Key {
    std::string key;  // empty: the value of the entry itself
    std::string was, is;
  };
  Verb verb = Verb::kTune;
  int layer = 0;
  Place place;              // of what it names as changed
  Place item;               // of the change as a whole
  std::string unit;         // of an entry of a unit; else empty
  std::string kind;         // of entry: "chart"
  std::string called;       // by its id or name; "no-drive: {cannot_hold: $e}"
  std::vector<Place> what;  // where the entry stands, its name and its keys: any of these is its place
  std::vector<Key> keys;    // none where it is silenced
  std::string because;
  // The change of a later layer by which this one, or a part of it, no longer counts; in `all`, or -1.
  int overridden_by = -1;
};
std::string_view LayerVerbName(LayerChange::Verb verb);  // "tune"

// An entry that a layer above the rulebook adds.
struct AddedEntry {
  int layer = 0;
  std::string kind;    // "chart"
  std::string called;  // as of a change
  Place place;         // of its name, or of itself where it has none
  Place item;          // of itself
};

// A change of something in the file of a unit, which is made when that file is read.
struct UnitChange {
  std::string unit;
  int layer = 0;
  YamlNode change;  // as it stands in its layer
};

struct Layers {
  std::vector<std::string> names;  // of the folders as they are shown, from the rulebook upwards
  std::map<int, int> of_source;    // by index into the sources
  std::vector<LayerChange> changes;
  std::vector<AddedEntry> added;
  std::vector<UnitChange> of_units;

  // The layer that a place stands in; 0 where that is none.
  int Of(const Place& place) const;
};

// The changes of what stands at a place, in the order of the layers.
std::vector<const LayerChange*> ChangesAt(const std::vector<LayerChange>& changes, const Place& place);

}  // namespace gearwhy
