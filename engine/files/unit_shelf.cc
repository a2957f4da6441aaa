#include "engine/files/unit_shelf.h"

#include <fmt/format.h>

#include <filesystem>

#include "engine/files/book_archive.h"
#include "engine/files/load_unit.h"
#include "engine/files/merge_layers.h"
#include "engine/files/read_value.h"
#include "engine/text/near_names.h"
#include "engine/text/read_file.h"
#include "engine/text/sha256.h"

namespace gearwhy {

UnitShelf::UnitShelf(const std::vector<Folder>& folders, Sources& sources, Diagnostics& diagnostics)
    : sources_(sources) {
  int layer = -1;
  for (const Folder& folder : folders) {
    ++layer;
    std::error_code error;
    if (!std::filesystem::is_directory(folder.path, error)) continue;  // a rulebook need not have units
    for (const std::string& path : ListYamlFiles(folder.path, diagnostics)) {
      Entry& entry = entries_[std::filesystem::path(path).stem().string()];
      entry.path = path;
      entry.layer = layer;
      entry.file.name = folder.shown_as + path.substr(folder.path.size());
      entry.source = sources.Announce(entry.file.name);
    }
  }
}

std::vector<std::string> UnitShelf::Names() const { return NamesOf(entries_); }

std::vector<std::string> UnitShelf::NamesOfLayer(int layer) const {
  std::vector<std::string> names;
  for (const auto& [name, entry] : entries_) {
    if (entry.layer == layer) names.push_back(name);
  }
  return names;
}

void UnitShelf::StandOn(const Rulebook& rules, const DiskCache& cache, const std::string& key) {
  rules_ = &rules;
  cache_ = cache;
  key_of_rules_ = key;
}

void UnitShelf::Read(const std::string& name, Entry& entry) const {
  Diagnostics& diagnostics = entry.diagnostics;
  auto text = ReadText(entry.path, entry.file.name, kMaxBookBytes, diagnostics);
  if (!text) return;
  entry.file.sha256 = Sha256Hex(*text);
  sources_.FillIn(entry.source, std::move(*text));
  const std::string key =
      cache_.IsOn() ? cache_.KeyOf(fmt::format("unit {} {} {}", key_of_rules_, entry.file.sha256, name)) : "";
  if (auto unit = FindIn<Unit>(cache_, key)) {
    entry.unit = std::make_unique<Unit>(std::move(*unit));
    return;
  }
  entry.unit = Load(name, entry, diagnostics);
  if (entry.unit != nullptr && diagnostics.Sorted().empty()) KeepIn(cache_, key, *entry.unit);
}

std::unique_ptr<Unit> UnitShelf::Load(const std::string& name, const Entry& entry,
                                      Diagnostics& diagnostics) const {
  auto root = ParseYaml(sources_, entry.source, diagnostics);
  if (!root) return nullptr;
  std::vector<LayerChange> changes =
      MergeIntoUnit(name, {&*root, entry.layer}, rules_->layers.of_units, diagnostics);
  if (diagnostics.HasErrors()) return nullptr;
  auto unit = LoadUnit(*root, rules_->words, diagnostics);
  if (!unit) return nullptr;
  unit->changes = std::move(changes);
  if (unit->name != name) {
    diagnostics.Error(unit->place, "id-not-file",
                      fmt::format("the unit is called `{}`, but its file `{}`; the two must be the same",
                                  unit->name, name));
    return nullptr;
  }
  return std::make_unique<Unit>(std::move(*unit));
}

const Unit* UnitShelf::Find(const std::string& name, const Place& place, Diagnostics& diagnostics) const {
  const auto it = entries_.find(name);
  if (it == entries_.end()) {
    diagnostics.Error(place, "unknown-unit",
                      fmt::format("there is no unit called `{}`{}", name, Hint(name, Names())));
    return nullptr;
  }
  Entry& entry = it->second;
  const std::lock_guard lock(reading_);
  if (!entry.tried) Read(name, entry);
  entry.tried = true;
  diagnostics.Append(entry.diagnostics);
  if (entry.unit == nullptr && place.IsSomewhere()) {
    diagnostics.Error(place, "unit-unusable",
                      fmt::format("the unit `{}` cannot be used: its file has errors", name));
  }
  return entry.unit.get();
}

const BookFile* UnitShelf::FileOf(const std::string& name) const {
  const auto it = entries_.find(name);
  return it == entries_.end() || it->second.unit == nullptr ? nullptr : &it->second.file;
}

}  // namespace gearwhy
