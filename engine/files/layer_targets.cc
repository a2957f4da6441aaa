#include "engine/files/layer_targets.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "engine/files/merge_layers.h"
#include "engine/text/flow_yaml.h"
#include "engine/text/near_names.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

// An entry, and those around it.
struct Level {
  const Level* above = nullptr;
  std::string_view kind, name;
  std::string_view field;  // the key of the list or map that it stands in
  const EntryShape* shape = nullptr;
  YamlNode* node = nullptr;
  YamlNode* holder = nullptr;
  Place* key_place = nullptr;
  bool by_name = false;  // an id, or a name at the top: enough to mean it
};

using Visit = std::function<void(const Level&)>;

class Walk {
 public:
  Walk(const FileShape& shapes, bool roots_are_entries, Visit visit)
      : shapes_(shapes), roots_are_entries_(roots_are_entries), visit_(std::move(visit)) {}

  void Over(YamlNode& root) const {
    if (!root.IsMap()) return;
    if (!roots_are_entries_) return Members(nullptr, root, shapes_[0]);
    const YamlNode* name = root.Find(shapes_[0].kind);
    Level level;
    level.kind = shapes_[0].kind;
    level.name = name == nullptr ? std::string_view() : std::string_view(name->text);
    level.shape = &shapes_[0];
    level.node = &root;
    level.by_name = true;
    visit_(level);
    Members(&level, root, shapes_[0]);
  }

 private:
  void Members(const Level* above, YamlNode& node, const EntryShape& shape) const {
    if (!node.IsMap()) return;
    for (YamlEntry& entry : node.entries) {
      const FieldShape* field = FindField(&shape, entry.key);
      if (field == nullptr || entry.key == "changes") continue;
      Level level;
      level.above = above;
      level.field = field->key;
      level.shape = FindKind(shapes_, field->takes);
      level.kind = level.shape != nullptr ? std::string_view(level.shape->kind) : level.field;
      const bool plain = level.shape == nullptr;
      const bool at_top = above == nullptr || (roots_are_entries_ && above->above == nullptr);
      if (field->form == FieldShape::Form::kList && entry.value.IsList()) {
        level.holder = &entry.value;
        for (YamlNode& item : entry.value.items) {
          const YamlNode* id = item.IsMap() && !plain ? item.Find("id") : nullptr;
          level.name = id == nullptr ? std::string_view() : std::string_view(id->text);
          level.by_name = id != nullptr;
          Enter(level, item);
        }
      } else if (field->form == FieldShape::Form::kMap && entry.value.IsMap() && (!plain || at_top)) {
        level.holder = &entry.value;
        level.by_name = above == nullptr;
        for (YamlEntry& named : entry.value.entries) {
          level.name = named.key;
          level.key_place = &named.key_place;
          Enter(level, named.value);
        }
      } else if (field->form == FieldShape::Form::kOne && above == nullptr && !plain) {
        level.holder = &node;
        level.name = level.field;
        level.key_place = &entry.key_place;
        level.by_name = true;
        Enter(level, entry.value);
      }
    }
  }

  void Enter(Level& level, YamlNode& node) const {
    level.node = &node;
    visit_(level);
    if (level.shape != nullptr) Members(&level, node, *level.shape);
  }

  const FileShape& shapes_;
  bool roots_are_entries_;
  Visit visit_;
};

std::string CalledAlone(const Level& level) {
  if (!level.name.empty()) return std::string(level.name);
  const YamlNode& node = *level.node;
  return FlowYaml(level.shape != nullptr && node.IsMap() && !node.entries.empty() ? node.entries[0].value
                                                                                  : node);
}

// "no-drive: {cannot_hold: $e}"; what a file itself is called is left out.
std::string Called(const Level& level) {
  const bool inside = level.above != nullptr && level.above->holder != nullptr;
  return inside ? Called(*level.above) + ": " + CalledAlone(level) : CalledAlone(level);
}

LayerTarget TargetOf(const Level& level) {
  LayerTarget target{
      std::string(level.kind), std::string(level.name), Called(level), level.shape, level.node, level.holder,
      level.key_place};
  if (level.key_place != nullptr) target.places.push_back(*level.key_place);
  if (const YamlNode* id = level.node->IsMap() ? level.node->Find("id") : nullptr)
    target.places.push_back(id->place);
  target.places.push_back(level.node->place);
  return target;
}

// Whether a value is what an address says of it.
bool Matches(const YamlNode& said, const YamlNode& value) {
  if (said.IsScalar()) {
    if (value.IsMap()) return value.entries.size() == 1 && value.entries[0].key == said.text;
    return value.IsScalar() && value.text == said.text;
  }
  if (said.IsMap() && value.IsMap()) {
    return std::all_of(said.entries.begin(), said.entries.end(), [&](const YamlEntry& entry) {
      const YamlNode* of = value.Find(entry.key);
      return of != nullptr && Matches(entry.value, *of);
    });
  }
  return said.IsList() && value.IsList() &&
         std::equal(said.items.begin(), said.items.end(), value.items.begin(), value.items.end(), Matches);
}

// Finds by keys and values.
class Address {
 public:
  Address(const FileShape& shapes, const YamlNode& said) : said_(said) {
    for (const EntryShape& shape : shapes) {
      const bool is_root = &shape == &shapes[0];
      if (is_root) named_kinds_.insert(shape.kind);
      for (const FieldShape& field : shape.fields) {
        const EntryShape* inner = FindKind(shapes, field.takes);
        if (inner == nullptr && field.form != FieldShape::Form::kMap) continue;
        if (field.form == FieldShape::Form::kMap || FindField(inner, "id") != nullptr)
          named_kinds_.insert(inner == nullptr ? field.key : inner->kind);
      }
    }
  }

  // How the entry, or one around it, agrees with a key of the address.
  bool Agrees(const YamlEntry& key, const Level& level, bool* itself) const {
    for (const Level* at = &level; at != nullptr; at = at->above) {
      if (!AgreesAt(key, *at)) continue;
      if (itself != nullptr && at == &level) *itself = true;
      return true;
    }
    return false;
  }

  bool Means(const Level& level) const {
    bool itself = false;
    return std::all_of(said_.entries.begin(), said_.entries.end(),
                       [&](const YamlEntry& key) { return Agrees(key, level, &itself); }) &&
           itself;
  }

  // What stands at a key of the entry, if all other keys agree: what may have been meant.
  std::optional<std::string> InsteadOf(const YamlEntry& wrong, const Level& level) const {
    const std::optional<std::string> there = ThereAt(wrong.key, level);
    if (!there) return std::nullopt;
    for (const YamlEntry& key : said_.entries) {
      if (&key != &wrong && !Agrees(key, level, nullptr)) return std::nullopt;
    }
    return there;
  }

 private:
  bool AgreesAt(const YamlEntry& key, const Level& level) const {
    if (named_kinds_.contains(key.key))
      return level.kind == key.key && !level.name.empty() && key.value.IsScalar() &&
             level.name == key.value.text;
    if (level.shape == nullptr) return level.field == key.key && Matches(key.value, *level.node);
    const YamlNode* value = level.node->IsMap() ? level.node->Find(key.key) : nullptr;
    return value != nullptr && Matches(key.value, *value);
  }

  std::optional<std::string> ThereAt(const std::string& key, const Level& level) const {
    if (named_kinds_.contains(key)) {
      if (level.kind != key || level.name.empty()) return std::nullopt;
      return std::string(level.name);
    }
    const YamlNode* value = level.shape == nullptr ? (level.field == key ? level.node : nullptr)
                                                   : (level.node->IsMap() ? level.node->Find(key) : nullptr);
    if (value == nullptr) return std::nullopt;
    if (value->IsMap() && value->entries.size() == 1) return value->entries[0].key;
    return FlowYaml(*value);
  }

  const YamlNode& said_;
  std::set<std::string, std::less<>> named_kinds_;
};

// The name that a value of an address is about.
std::string NameIn(const YamlNode& value) {
  if (value.IsMap() && value.entries.size() == 1) return value.entries[0].key;
  return FlowYaml(value);
}

std::vector<std::string> Sorted(std::vector<std::string> names) {
  std::sort(names.begin(), names.end());
  names.erase(std::unique(names.begin(), names.end()), names.end());
  return names;
}

constexpr std::size_t kNotesOfSeveral = 5;

void ReportSeveral(const YamlNode& address, const std::vector<LayerTarget>& found, Diagnostics& diagnostics) {
  const std::string kind = found[0].kind;
  const bool by_kind =
      address.IsScalar() &&
      std::any_of(found.begin(), found.end(), [&](const LayerTarget& one) { return one.kind != kind; });
  const std::string how =
      by_kind ? fmt::format("say of which kind, as in `{{{}: {}}}`", kind, SafeLine(FlowYaml(address)))
              : std::string("say more of the keys and values of the one that is meant");
  Diagnostic& error = diagnostics.Error(
      address.place, "several-to-change",
      fmt::format("{} may be {} things; {}", InTicks(FlowYaml(address)), found.size(), how));
  for (std::size_t i = 0; i < std::min(found.size(), kNotesOfSeveral); ++i)
    error.notes.push_back(
        {found[i].places[0], fmt::format("{} {}", found[i].kind, InTicks(found[i].called))});
}

}  // namespace

const EntryShape* FindKind(const FileShape& shapes, std::string_view takes) {
  const std::string_view kind = takes.substr(0, takes.find('|'));
  for (std::size_t i = 1; i < shapes.size(); ++i) {
    if (shapes[i].kind == kind) return &shapes[i];
  }
  return nullptr;
}

const FieldShape* FindField(const EntryShape* shape, std::string_view key) {
  if (shape == nullptr) return nullptr;
  for (const FieldShape& field : shape->fields) {
    if (field.key == key) return &field;
  }
  return nullptr;
}

std::optional<LayerTarget> FindTarget(const FileShape& shapes, bool roots_are_entries,
                                      const std::vector<LaidTree>& trees, const YamlNode& address,
                                      Diagnostics& diagnostics) {
  if ((!address.IsScalar() && !address.IsMap()) || (address.IsMap() && address.entries.empty())) {
    diagnostics.Error(
        address.place, "bad-change",
        "what is changed is named by its id, or by keys and values that it has, as in `{symptom: "
        "no_drive, cause: cannot_hold}`");
    return std::nullopt;
  }
  const Address by_keys(shapes, address);
  std::vector<LayerTarget> found;
  const auto over_all = [&](const Visit& visit) {
    for (const LaidTree& tree : trees) Walk(shapes, roots_are_entries, visit).Over(*tree.root);
  };
  over_all([&](const Level& level) {
    const bool is_meant =
        address.IsScalar() ? level.by_name && level.name == address.text : by_keys.Means(level);
    if (is_meant) found.push_back(TargetOf(level));
  });
  if (found.size() == 1) return found[0];
  if (!found.empty()) {
    ReportSeveral(address, found, diagnostics);
    return std::nullopt;
  }
  std::vector<std::string> near;
  if (address.IsScalar()) {
    over_all([&](const Level& level) {
      if (level.by_name) near.emplace_back(level.name);
    });
    const std::string hint = Hint(address.text, Sorted(near), 0);
    diagnostics.Error(
        address.place, "nothing-to-change",
        fmt::format(
            "there is nothing called {}{}", InTicks(address.text),
            hint.empty() ? "; `gearwhy rules list` and `gearwhy rules find` say what there is" : hint));
    return std::nullopt;
  }
  // The last key of which nothing has the value, though all others agree, is the one that is wrong.
  for (auto key = address.entries.rbegin(); key != address.entries.rend(); ++key) {
    near.clear();
    over_all([&](const Level& level) {
      if (auto there = by_keys.InsteadOf(*key, level)) near.push_back(std::move(*there));
    });
    if (near.empty()) continue;
    diagnostics.Error(key->value.place, "nothing-to-change",
                      fmt::format("nothing here has the {} {}{}", InTicks(key->key),
                                  InTicks(FlowYaml(key->value)), Hint(NameIn(key->value), Sorted(near))));
    return std::nullopt;
  }
  diagnostics.Error(address.place, "nothing-to-change",
                    fmt::format("there is nothing with {}", InTicks(FlowYaml(address))));
  return std::nullopt;
}

std::vector<LayerTarget> NamedEntries(const FileShape& shapes, YamlNode& root) {
  std::vector<LayerTarget> named;
  Walk(shapes, false, [&](const Level& level) {
    if (level.by_name) named.push_back(TargetOf(level));
  }).Over(root);
  return named;
}

std::vector<LayerTarget> TopEntries(const FileShape& shapes, YamlNode& root) {
  std::vector<LayerTarget> entries;
  Walk(shapes, false, [&](const Level& level) {
    if (level.above == nullptr) entries.push_back(TargetOf(level));
  }).Over(root);
  return entries;
}

void TakeOut(const FileShape& shapes, bool roots_are_entries, YamlNode& root, const std::set<Place>& places) {
  std::set<YamlNode*> holders;
  Walk(shapes, roots_are_entries, [&](const Level& level) {
    if (places.contains(level.node->place) && level.holder != nullptr) holders.insert(level.holder);
  }).Over(root);
  for (YamlNode* holder : holders) {
    std::erase_if(holder->items, [&](const YamlNode& item) { return places.contains(item.place); });
    std::erase_if(holder->entries,
                  [&](const YamlEntry& entry) { return places.contains(entry.value.place); });
  }
}

}  // namespace gearwhy
