#include "engine/files/merge_layers.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>

#include "engine/files/layer_targets.h"
#include "engine/files/load_rulebook.h"
#include "engine/files/load_unit.h"
#include "engine/text/flow_yaml.h"
#include "engine/text/near_names.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

using enum Presence;
using Verb = LayerChange::Verb;

constexpr Verb kVerbs[] = {Verb::kTune, Verb::kReplace, Verb::kSilence, Verb::kExtend};

// A change as it is written.
struct Written {
  Verb verb = Verb::kTune;
  Place place;
  const YamlNode* address = nullptr;
  const YamlNode* value = nullptr;  // `to` or `with`
  std::string because;
};

// Nothing after a report of what is wrong with it.
std::optional<Written> ReadChange(Fields& fields) {
  Written written;
  written.place = fields.place();
  const auto address = [&](Verb verb, const char* key, const char* help) {
    const YamlNode* node = fields.Value(key, kOptional, "address", help);
    if (node == nullptr || written.address != nullptr) return;
    written.verb = verb;
    written.address = node;
  };
  const bool one = fields.ExactlyOne({"tune", "replace", "silence", "extend"});
  address(Verb::kTune, "tune", "The entry of which some keys get other values.");
  address(Verb::kReplace, "replace", "The entry that another one takes the place of.");
  address(Verb::kSilence, "silence", "The entry that no longer counts.");
  address(Verb::kExtend, "extend", "The entry, or the unit, whose lists and maps get more.");
  const YamlNode* to =
      fields.Value("to", kOptional, "change_to", "What is tuned: the keys with their new values.");
  const YamlNode* with = fields.Value("with", kOptional, "change_with",
                                      "The entry that replaces it, or what it is extended with.");
  fields.Text("because", kNeeded, written.because, "Why it is not so here, a sentence.");
  fields.Done();
  if (!fields.IsMap() || written.because.empty()) return std::nullopt;
  const auto wrong = [&](const char* why) {
    fields.diagnostics().Error(written.place, "bad-change", why);
    return std::nullopt;
  };
  if (!one) return wrong("a change says one of `tune`, `replace`, `silence` and `extend`");
  const bool is_tune = written.verb == Verb::kTune, is_silence = written.verb == Verb::kSilence;
  if (is_silence && (to != nullptr || with != nullptr))
    return wrong("what is silenced gets no `to` and no `with`");
  if (is_tune && (to == nullptr || with != nullptr))
    return wrong("`tune` goes with `to`, as in `to: {chance: 3%}`");
  if (!is_tune && !is_silence && (with == nullptr || to != nullptr))
    return wrong("`replace` and `extend` go with `with`, as in `with: {parts: {...}}`");
  written.value = is_tune ? to : with;
  return written;
}

std::vector<Written> ReadAllChanges(Fields& file) {
  std::vector<Written> all;
  for (Fields& fields : file.Entries("changes", kOptional, "change",
                                     "What this folder changes of what stands in those below it.")) {
    if (auto written = ReadChange(fields)) all.push_back(*written);
  }
  return all;
}

// "1 line", with what was said of it.
std::string OnOneLine(const YamlNode* node) { return node == nullptr ? "" : FlowYaml(*node); }

// The keys in which two maps differ; of other values, the values themselves.
std::vector<LayerChange::Key> Differences(const YamlNode& was, const YamlNode& is) {
  if (!was.IsMap() || !is.IsMap()) {
    if (FlowYaml(was) == FlowYaml(is)) return {};
    return {{"", FlowYaml(was), FlowYaml(is)}};
  }
  std::vector<LayerChange::Key> keys;
  for (const YamlEntry& entry : is.entries) {
    const std::string before = OnOneLine(was.Find(entry.key)), after = FlowYaml(entry.value);
    if (before != after) keys.push_back({entry.key, before, after});
  }
  for (const YamlEntry& entry : was.entries) {
    if (is.Find(entry.key) == nullptr) keys.push_back({entry.key, FlowYaml(entry.value), ""});
  }
  return keys;
}

YamlEntry* FindEntry(YamlNode& map, std::string_view key) {
  for (YamlEntry& entry : map.entries) {
    if (entry.key == key) return &entry;
  }
  return nullptr;
}

// Makes changes in the trees of one kind of file.
class Merger {
 public:
  Merger(const FileShape& shapes, bool roots_are_entries, std::vector<LayerChange>& changes,
         Diagnostics& diagnostics)
      : shapes_(shapes),
        roots_are_entries_(roots_are_entries),
        changes_(changes),
        diagnostics_(diagnostics) {}

  void Add(const LaidTree& tree) { trees_.push_back(tree); }

  void Make(const Written& written, int layer, const std::string& unit) {
    const std::optional<LayerTarget> target =
        FindTarget(shapes_, roots_are_entries_, trees_, *written.address, diagnostics_);
    if (!target) return;
    LayerChange change;
    change.verb = written.verb;
    change.layer = layer;
    change.place = written.address->place;
    change.item = written.place;
    change.unit = unit;
    change.kind = target->kind;
    change.called = target->called;
    change.what = target->places;
    change.because = written.because;
    const int errors_before = diagnostics_.error_count();
    switch (written.verb) {
      case Verb::kTune:
        Tune(*target, *written.value, change);
        break;
      case Verb::kReplace:
        Replace(*target, written, change);
        break;
      case Verb::kSilence:
        if (target->holder == nullptr)
          diagnostics_.Error(change.place, "bad-change",
                             "a unit cannot be silenced; its cases would have none");
        break;
      case Verb::kExtend:
        Extend(*target->node, target->shape, *written.value, "", change);
        break;
    }
    if (diagnostics_.error_count() > errors_before) return;
    CheckNew(written, change);
    Override(change);
    // What a later layer speaks of is there again.
    silenced_.erase(target->node->place);
    if (written.verb == Verb::kSilence) silenced_.insert(target->node->place);
    changes_.push_back(std::move(change));
  }

  // Takes out what is silenced in the end.
  void Silence() {
    if (silenced_.empty()) return;
    for (const LaidTree& tree : trees_) TakeOut(shapes_, roots_are_entries_, *tree.root, silenced_);
  }

 private:
  void Tune(const LayerTarget& target, const YamlNode& to, LayerChange& change) {
    YamlNode* node = target.node;
    const EntryShape* shape = target.shape;
    const bool is_statement = shape == nullptr && node->IsMap() && node->entries.size() == 1;
    if (is_statement) node = &node->entries[0].value;  // its slots
    if (shape == nullptr && !node->IsMap()) {
      if (to.IsMap() || to.IsList() || to.IsEmpty()) {
        diagnostics_.Error(
            to.place, "bad-change",
            fmt::format("{} has no keys; write its new value behind `to:`", InTicks(target.called)));
        return;
      }
      change.keys = Differences(*node, to);
      const Place place = node->place;  // by which it is known
      *node = to;
      change.what.push_back(to.place);
      change.what.push_back(place);
      return;
    }
    if (!to.IsMap()) {
      diagnostics_.Error(
          to.place, "bad-change",
          fmt::format("`to` gives keys of {} with their new values, as in `to: {{chance: 3%}}`",
                      InTicks(target.called)));
      return;
    }
    for (const YamlEntry& entry : to.entries) Set(*node, shape, entry, change);
  }

  // One key gets another value; of a map by names, just the names that are given.
  void Set(YamlNode& node, const EntryShape* shape, const YamlEntry& entry, LayerChange& change) {
    const FieldShape* field = FindField(shape, entry.key);
    if (entry.key == "id" && shape != nullptr) {
      diagnostics_.Error(entry.key_place, "bad-change",
                         "an entry keeps its `id`: others speak of it by that");
      return;
    }
    const bool holds_entries = field != nullptr && field->form == FieldShape::Form::kList &&
                               FindKind(shapes_, field->takes) != nullptr;
    if (holds_entries) {
      diagnostics_.Error(
          entry.key_place, "bad-change",
          fmt::format("{} holds entries of its own: tune each of them, or `extend` it with more",
                      InTicks(entry.key)));
      return;
    }
    YamlEntry* old = FindEntry(node, entry.key);
    if (field != nullptr && field->form == FieldShape::Form::kMap && old != nullptr && old->value.IsMap() &&
        entry.value.IsMap()) {
      for (const YamlEntry& one : entry.value.entries) {
        YamlEntry* named = FindEntry(old->value, one.key);
        change.keys.push_back(
            {entry.key + ": " + one.key, named ? FlowYaml(named->value) : "", FlowYaml(one.value)});
        if (named != nullptr) {
          *named = one;
        } else {
          old->value.entries.push_back(one);
        }
      }
      return;
    }
    change.keys.push_back({entry.key, old ? FlowYaml(old->value) : "", FlowYaml(entry.value)});
    if (old != nullptr) {
      *old = entry;
    } else {
      node.entries.push_back(entry);
    }
  }

  void Replace(const LayerTarget& target, const Written& written, LayerChange& change) {
    const YamlNode& with = *written.value;
    if (target.holder == nullptr) {
      diagnostics_.Error(change.place, "bad-change",
                         "a unit is replaced by a file of the same name in the folder `units`");
      return;
    }
    YamlNode replacing = with;
    if (FindField(target.shape, "id") != nullptr && target.shape != nullptr && with.IsMap()) {
      const YamlNode* id = with.Find("id");
      if (id != nullptr && id->text != target.name) {
        diagnostics_.Error(
            id->place, "bad-change",
            fmt::format("an entry keeps its `id`, {}: others speak of it by that", InTicks(target.name)));
        return;
      }
      if (id == nullptr) {
        YamlNode name;
        name.kind = YamlNode::Kind::kScalar;
        name.text = target.name;
        name.place = written.address->place;
        replacing.entries.insert(replacing.entries.begin(), {"id", written.address->place, std::move(name)});
      }
    }
    change.keys = Differences(*target.node, replacing);
    *target.node = std::move(replacing);
    if (target.key_place != nullptr) *target.key_place = written.address->place;
    change.what.push_back(target.node->place);
    change.what.push_back(written.address->place);
  }

  // More in the lists and maps of an entry. `path`: where in it, for what is told.
  void Extend(YamlNode& node, const EntryShape* shape, const YamlNode& with, const std::string& path,
              LayerChange& change) {
    if (!with.IsMap() || !node.IsMap() || shape == nullptr) {
      diagnostics_.Error(
          with.place, "bad-change",
          fmt::format("{} is extended by keys that hold lists or maps, as in `with: {{causes: [...]}}`",
                      InTicks(change.called)));
      return;
    }
    for (const YamlEntry& entry : with.entries) {
      YamlEntry* old = FindEntry(node, entry.key);
      const FieldShape* field = FindField(shape, entry.key);
      if (old == nullptr || old->value.IsEmpty()) {
        change.keys.push_back({path + entry.key, "", FlowYaml(entry.value)});
        if (old != nullptr) {
          *old = entry;
        } else {
          node.entries.push_back(entry);
        }
        continue;
      }
      if (field == nullptr) continue;  // the loader says that there is no such key
      ExtendKey(*field, old->value, entry, path + entry.key, change);
    }
  }

  void ExtendKey(const FieldShape& field, YamlNode& old, const YamlEntry& entry, const std::string& path,
                 LayerChange& change) {
    const bool is_list = field.form == FieldShape::Form::kList || std::string_view(field.takes) == "names";
    if (is_list && !old.IsMap() && !entry.value.IsMap()) {
      if (!old.IsList()) {  // a single name stands for a list of one
        YamlNode list;
        list.kind = YamlNode::Kind::kList;
        list.place = old.place;
        list.items.push_back(old);
        old = std::move(list);
      }
      const std::vector<YamlNode> more = entry.value.IsList() ? entry.value.items : std::vector{entry.value};
      for (const YamlNode& item : more) {
        change.keys.push_back({path, "", FlowYaml(item)});
        old.items.push_back(item);
      }
      return;
    }
    if (field.form != FieldShape::Form::kMap || !old.IsMap() || !entry.value.IsMap()) {
      diagnostics_.Error(entry.key_place, "bad-change",
                         fmt::format("{} is there already, and holds no list or map; `tune` changes it",
                                     InTicks(entry.key)));
      return;
    }
    for (const YamlEntry& one : entry.value.entries) {
      YamlEntry* named = FindEntry(old, one.key);
      const EntryShape* inner = FindKind(shapes_, field.takes);
      if (named == nullptr) {
        change.keys.push_back({path + ": " + one.key, "", FlowYaml(one.value)});
        old.entries.push_back(one);
      } else if (inner != nullptr && one.value.IsMap() && named->value.IsMap()) {
        Extend(named->value, inner, one.value, path + ": " + one.key + ": ", change);
      } else {
        diagnostics_
            .Error(one.key_place, "bad-change",
                   fmt::format("{} is there already; `tune` changes it", InTicks(one.key)))
            .notes.push_back({named->key_place, "it stands here"});
      }
    }
  }

  // A change that changes nothing is most likely meant for something else.
  void CheckNew(const Written& written, const LayerChange& change) {
    const bool nothing = std::none_of(change.keys.begin(), change.keys.end(),
                                      [](const LayerChange::Key& key) { return key.was != key.is; });
    if (written.verb == Verb::kSilence || !nothing) return;
    diagnostics_.Warning(change.place, "changes-nothing",
                         fmt::format("{} is so already", InTicks(change.called)));
  }

  // Whether a later change of the same entry leaves nothing, or not all, of an earlier one.
  static bool Overrides(const LayerChange& later, const LayerChange& earlier) {
    if (later.verb == Verb::kSilence || later.verb == Verb::kReplace || earlier.verb == Verb::kSilence)
      return true;
    if (later.verb == Verb::kExtend || earlier.verb == Verb::kExtend) return false;
    return std::any_of(later.keys.begin(), later.keys.end(), [&](const LayerChange::Key& key) {
      return std::any_of(earlier.keys.begin(), earlier.keys.end(),
                         [&](const LayerChange::Key& other) { return other.key == key.key; });
    });
  }

  void Override(const LayerChange& later) {
    for (LayerChange& earlier : changes_) {
      const bool same = earlier.unit == later.unit && earlier.kind == later.kind &&
                        std::any_of(earlier.what.begin(), earlier.what.end(), [&](const Place& place) {
                          return std::find(later.what.begin(), later.what.end(), place) != later.what.end();
                        });
      if (!same || earlier.overridden_by >= 0 || !Overrides(later, earlier)) continue;
      if (earlier.layer != later.layer) {
        earlier.overridden_by = static_cast<int>(changes_.size());
        continue;
      }
      diagnostics_
          .Error(later.place, "changed-twice",
                 fmt::format("this folder changes {} twice; say it once", InTicks(later.called)))
          .notes.push_back({earlier.place, "the first time here"});
    }
  }

  const FileShape& shapes_;
  bool roots_are_entries_;
  std::vector<LayerChange>& changes_;
  Diagnostics& diagnostics_;
  std::vector<LaidTree> trees_;
  std::set<Place> silenced_;
};

// The unit that a change speaks of, or nothing: its name, or a map with the key `unit`.
std::optional<std::string> UnitOf(const YamlNode& address, const std::vector<std::string>& units) {
  if (const YamlNode* unit = address.IsMap() ? address.Find("unit") : nullptr) return unit->text;
  if (address.IsScalar() && std::find(units.begin(), units.end(), address.text) != units.end())
    return address.text;
  return std::nullopt;
}

// A layer adds what a layer below has: it wants to change it.
void CheckAdded(const FileShape& shapes, const std::vector<LaidTree>& below, const LaidTree& tree,
                Diagnostics& diagnostics) {
  std::map<std::pair<std::string, std::string>, Place> known;  // by kind and name
  for (const LaidTree& one : below) {
    for (const LayerTarget& entry : NamedEntries(shapes, *one.root))
      known.emplace(std::pair(entry.kind, entry.name), entry.places[0]);
  }
  for (const LayerTarget& entry : NamedEntries(shapes, *tree.root)) {
    const auto it = known.find({entry.kind, entry.name});
    if (it == known.end()) continue;
    diagnostics
        .Error(
            entry.places[0], "there-already",
            fmt::format("{} is there already; to change it, write `tune` or `replace` under `changes`",
                        entry.kind == entry.name ? InTicks(entry.name)
                                                 : fmt::format("the {} {}", entry.kind, InTicks(entry.name))))
        .notes.push_back({it->second, "it stands here"});
  }
}

void KeepAdded(const FileShape& shapes, const LaidTree& tree, std::vector<AddedEntry>& added) {
  for (const LayerTarget& entry : TopEntries(shapes, *tree.root))
    added.push_back({tree.layer, entry.kind, entry.called, entry.places[0], entry.node->place});
}

// Takes out a change, or an entry, as if it had not been written.
void LeaveOut(const FileShape& shapes, const Place& place, YamlNode& root) {
  if (YamlEntry* changes = root.IsMap() ? FindEntry(root, "changes") : nullptr)
    std::erase_if(changes->value.items, [&](const YamlNode& change) { return change.place == place; });
  TakeOut(shapes, false, root, {place});
}

// A change of a unit waits until that is read.
void KeepForUnit(UnitChange change, const YamlNode& root, const Written& written,
                 const std::vector<std::string>& units, Layers& layers, Diagnostics& diagnostics) {
  if (std::find(units.begin(), units.end(), change.unit) == units.end()) {
    diagnostics.Error(
        written.address->place, "nothing-to-change",
        fmt::format("there is no unit called {}{}", InTicks(change.unit), Hint(change.unit, units)));
    return;
  }
  for (const YamlNode& node : root.Find("changes")->items) {
    if (node.place == written.place) change.change = node;
  }
  layers.of_units.push_back(std::move(change));
}

}  // namespace

void ReadChanges(Fields& file) { ReadAllChanges(file); }

void MergeLayers(const std::vector<LaidTree>& trees, const std::vector<std::string>& units,
                 const std::optional<Place>& without, Layers& layers, Diagnostics& diagnostics) {
  const bool is_laid = std::any_of(trees.begin(), trees.end(), [](const LaidTree& tree) {
    return tree.layer > 0 || (tree.root->IsMap() && tree.root->Find("changes") != nullptr);
  });
  if (!is_laid) return;
  const FileShape shapes = RulebookShape();
  Merger merger(shapes, false, layers.changes, diagnostics);
  std::vector<LaidTree> below;
  for (std::size_t begin = 0; begin < trees.size();) {
    std::size_t end = begin;
    for (; end < trees.size() && trees[end].layer == trees[begin].layer; ++end) {
      if (without) LeaveOut(shapes, *without, *trees[end].root);
      if (trees[end].layer > 0) {
        CheckAdded(shapes, below, trees[end], diagnostics);
        KeepAdded(shapes, trees[end], layers.added);
      }
      merger.Add(trees[end]);
    }
    for (std::size_t i = begin; i < end; ++i) {
      below.push_back(trees[i]);
      if (!trees[i].root->IsMap() || trees[i].root->Find("changes") == nullptr) continue;
      const YamlNode root = *trees[i].root;  // what is changed may stand beside the change
      Fields file(root, "a rulebook file", diagnostics);
      for (const Written& written : ReadAllChanges(file)) {
        if (const auto unit = UnitOf(*written.address, units))
          KeepForUnit({*unit, trees[i].layer, {}}, root, written, units, layers, diagnostics);
        else
          merger.Make(written, trees[i].layer, "");
      }
    }
    begin = end;
  }
  if (!diagnostics.HasErrors()) merger.Silence();
}

std::vector<LayerChange> MergeIntoUnit(const std::string& unit, const LaidTree& tree,
                                       const std::vector<UnitChange>& changes, Diagnostics& diagnostics) {
  std::vector<LayerChange> made;
  const auto is_meant = [&](const UnitChange& change) {
    return change.unit == unit && change.layer >= tree.layer;
  };
  if (std::none_of(changes.begin(), changes.end(), is_meant)) return made;
  const FileShape shapes = UnitShape();
  Merger merger(shapes, true, made, diagnostics);
  merger.Add(tree);
  for (const UnitChange& change : changes) {
    if (!is_meant(change)) continue;
    Fields fields(change.change, "a change", diagnostics);
    if (const auto written = ReadChange(fields)) merger.Make(*written, change.layer, unit);
  }
  if (!diagnostics.HasErrors()) merger.Silence();
  return made;
}

}  // namespace gearwhy
