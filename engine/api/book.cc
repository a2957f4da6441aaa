#include "engine/api/book.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "engine/files/book_archive.h"
#include "engine/files/load_case.h"
#include "engine/text/read_file.h"
#include "engine/text/yaml.h"

namespace gearwhy {
namespace {

// One slash between names and none at the end, as the names of files below it come.
std::string Tidied(const std::string& folder) {
  std::string path = std::filesystem::path(folder).generic_string();
  while (path.size() > 1 && path.back() == '/') path.pop_back();
  return path;
}

// Reads every rulebook file of a folder; its `units` are the shelf's.
std::vector<int> ReadFolder(const BookFolder& folder, Sources& sources, Diagnostics& diagnostics) {
  std::vector<int> read;
  const std::string units = folder.path + "/units/";
  for (const std::string& path : ListYamlFiles(folder.path, diagnostics)) {
    if (path.starts_with(units)) continue;
    const std::string shown_as = folder.shown_as + path.substr(folder.path.size());
    if (const auto source = ReadSource(path, shown_as, kMaxBookBytes, sources, diagnostics))
      read.push_back(*source);
  }
  return read;
}

// All that a rulebook is made of but the texts of its units, each with its length, so that nothing else reads
// so.
std::string MadeFrom(const std::vector<BookLayer>& layers, const UnitShelf& units, const Sources& sources) {
  std::string all = "rulebook";
  const auto add = [&](const std::string& text) { all += fmt::format(" {}:{}", text.size(), text); };
  for (const BookLayer& layer : layers) {
    add(layer.name);
    for (const int source : layer.sources) {
      all += fmt::format(" file {}", source);
      add(sources.Name(source));
      add(sources.Text(source));
    }
    for (const std::string& unit : layer.units) {
      all += fmt::format(" unit {}", units.SourceOf(unit));
      add(unit);
    }
  }
  return all;
}

}  // namespace

std::optional<Rulebook> Book::ReadRules(const std::vector<BookLayer>& layers, const Sources& sources,
                                        Diagnostics& diagnostics, const std::optional<Place>& without) const {
  auto rules = LoadRulebook(layers, sources, diagnostics, without);
  if (!rules) return std::nullopt;
  for (const std::string& unit : units_->Names())
    rules->layers.of_source[units_->SourceOf(unit)] = units_->LayerOf(unit);
  CheckStrata(rules->rules, diagnostics);
  if (diagnostics.HasErrors()) return std::nullopt;
  return rules;
}

std::unique_ptr<Book> Book::Open(const std::vector<BookFolder>& folders, Sources& sources,
                                 Diagnostics& diagnostics, const std::optional<Place>& without,
                                 const std::string& cache_folder) {
  std::vector<BookLayer> layers;
  std::vector<UnitShelf::Folder> unit_folders;
  for (const BookFolder& named : folders) {
    const BookFolder folder = {Tidied(named.path), Tidied(named.shown_as)};
    layers.push_back({folder.shown_as, ReadFolder(folder, sources, diagnostics)});
    unit_folders.push_back({folder.path + "/units", folder.shown_as + "/units"});
  }
  std::unique_ptr<Book> book(new Book);
  book->units_ = std::make_unique<UnitShelf>(unit_folders, sources, diagnostics);
  for (std::size_t i = 0; i < layers.size(); ++i) {
    layers[i].units = book->units_->NamesOfLayer(static_cast<int>(i));
    if (!layers[i].sources.empty() || !layers[i].units.empty() || diagnostics.HasErrors()) continue;
    diagnostics.Error({}, i == 0 ? "no-rulebook" : "empty-shop",
                      fmt::format("there is no YAML file in `{}`", folders[i].path));
  }
  if (diagnostics.HasErrors()) return nullptr;
  const DiskCache cache(without ? "" : cache_folder);
  const std::string key = cache.IsOn() ? cache.KeyOf(MadeFrom(layers, *book->units_, sources)) : "";
  auto rules = FindIn<Rulebook>(cache, key);
  if (!rules) {
    Diagnostics found;
    rules = book->ReadRules(layers, sources, found, without);
    diagnostics.Append(found);
    if (!rules) return nullptr;
    if (found.Sorted().empty()) KeepIn(cache, key, *rules);
  }
  book->rules_ = std::move(*rules);
  book->units_->StandOn(book->rules_, cache, key);
  return book;
}

const UnitKnowledge* Book::Know(const std::string& unit, const Place& place, Diagnostics& diagnostics) const {
  const Unit* found = units_->Find(unit, place, diagnostics);
  if (found == nullptr) return nullptr;
  const std::lock_guard lock(making_);
  auto it = known_.find(unit);
  if (it == known_.end()) {
    // Kept when it is whole: where memory was wanting for it, the next who asks makes it again.
    Known made;
    made.unit = KnowUnit(*found, made.diagnostics);
    it = known_.emplace(unit, std::move(made)).first;
  }
  diagnostics.Append(it->second.diagnostics);
  return it->second.unit ? &*it->second.unit : nullptr;
}

Mixture Book::Find(const std::string& unit, const WhichVariants& which, const Place& place,
                   Diagnostics& diagnostics) const {
  const UnitKnowledge* known = unit.empty() ? nullptr : Know(unit, place, diagnostics);
  if (!unit.empty() && known == nullptr) return {};
  const std::lock_guard lock(making_);
  return MixtureOf(known == nullptr ? nullptr : known->unit, which, [&](const std::string& one) {
    auto it = made_.find({unit, one});
    if (it == made_.end()) {
      Made made;
      made.transmission = MakeTransmission(rules_, known, one, made.diagnostics);
      it = made_.emplace(std::pair(unit, one), std::move(made)).first;
    }
    diagnostics.Append(it->second.diagnostics);
    return it->second.transmission;
  });
}

std::optional<Case> Book::ReadCase(Sources& sources, int source, const std::string& id,
                                   const std::string& folder, Diagnostics& diagnostics) const {
  return ReadCaseAfter(sources, source, id, folder, {id}, diagnostics);
}

std::optional<Case> Book::ReadCaseAfter(Sources& sources, int source, const std::string& id,
                                        const std::string& folder, const std::vector<std::string>& later,
                                        Diagnostics& diagnostics) const {
  const auto root = ParseYaml(sources, source, diagnostics);
  if (!root) return std::nullopt;
  const FindUnit find_unit = [&](const std::string& name, const Place& place) {
    return units_->Find(name, place, diagnostics);
  };
  const FindCase find_case = [&](const std::string& name, const Place& place) -> std::optional<Case> {
    if (std::find(later.begin(), later.end(), name) != later.end()) {
      diagnostics.Error(place, "after-itself", fmt::format("`{}` would have come back from itself", name));
      return std::nullopt;
    }
    Diagnostics unread;
    const std::string path = (std::filesystem::path(folder) / (name + ".yaml")).generic_string();
    const auto earlier = ReadSource(path, path, kMaxCaseBytes, sources, unread);
    if (!earlier) {
      diagnostics.Error(
          place, "no-earlier-case",
          fmt::format("there is no case `{}` beside this one: `{}` cannot be read", name, path));
      return std::nullopt;
    }
    std::vector<std::string> all = later;
    all.push_back(name);
    return ReadCaseAfter(sources, *earlier, name, folder, all, diagnostics);
  };
  std::string case_id = id;
  if (const YamlNode* stated = root->Find("case"); case_id.empty() && stated != nullptr)
    case_id = stated->text;
  return LoadCase(*root, case_id, rules_, find_unit, find_case, diagnostics);
}

std::optional<Diagnosis> Book::DiagnoseCase(const Case& c, const BeliefLimits& limits,
                                            Diagnostics& diagnostics) const {
  return Diagnose(Find(c.unit, {c.variant, c.version}, c.unit_place, diagnostics), c, limits, diagnostics);
}

std::optional<Diagnosis> Book::GroundCase(const Case& c, Diagnostics& diagnostics) const {
  return gearwhy::GroundCase(Find(c.unit, {c.variant, c.version}, c.unit_place, diagnostics), c, diagnostics);
}

}  // namespace gearwhy
