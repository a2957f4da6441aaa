#include "engine/study/layer_report.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/explain/rank_report.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr int kFirst = 3;  // suspects of a ranking that are compared

void AddChanges(const std::vector<LayerChange>& changes, LayerReport& report) {
  for (const LayerChange& change : changes) {
    LayerReport::Change told{change, std::nullopt};
    if (change.overridden_by >= 0) told.overridden = changes[At(change.overridden_by)].place;
    report.folders[At(change.layer)].changes.push_back(std::move(told));
  }
}

const Suspect* Find(const std::vector<Suspect>& suspects, const Statement& statement, int* rank) {
  const auto it = std::find_if(suspects.begin(), suspects.end(),
                               [&](const Suspect& suspect) { return suspect.statement == statement; });
  *rank = it == suspects.end() ? 0 : static_cast<int>(it - suspects.begin()) + 1;
  return it == suspects.end() ? nullptr : &*it;
}

std::vector<Suspect> SuspectsOf(const Diagnosis& diagnosis) {
  RankOptions options;
  options.reasons = false;
  options.least_chance = 0;
  options.suspects = 50;
  return MakeRankReport(diagnosis, nullptr, diagnosis.limits, options).suspects;
}

}  // namespace

LayerReport MakeLayerReport(const Rulebook& book, const UnitShelf& units, Diagnostics& diagnostics) {
  LayerReport report;
  for (std::size_t i = 0; i < book.layers.names.size(); ++i) {
    LayerReport::Folder folder;
    folder.name = book.layers.names[i];
    folder.units = units.NamesOfLayer(static_cast<int>(i));
    for (const auto& [source, layer] : book.layers.of_source) folder.files += layer == static_cast<int>(i);
    folder.files -= folder.units.size();
    report.folders.push_back(std::move(folder));
  }
  for (const AddedEntry& added : book.layers.added) report.folders[At(added.layer)].added.push_back(added);
  AddChanges(book.layers.changes, report);
  for (const std::string& name : units.Names()) {
    const Unit* unit = units.Find(name, {}, diagnostics);
    if (unit != nullptr) AddChanges(unit->changes, report);
  }
  return report;
}

std::vector<SuspectMove> MovesBetween(const Diagnosis& before, const Diagnosis& after, double least) {
  const std::vector<Suspect> was = SuspectsOf(before), is = SuspectsOf(after);
  std::vector<SuspectMove> moves;
  const auto add = [&](const Statement& statement) {
    const bool known = std::any_of(moves.begin(), moves.end(),
                                   [&](const SuspectMove& move) { return move.statement == statement; });
    if (known) return;
    SuspectMove move;
    move.statement = statement;
    const Suspect* earlier = Find(was, statement, &move.rank_was);
    const Suspect* later = Find(is, statement, &move.rank_is);
    move.was = earlier == nullptr ? std::numeric_limits<double>::quiet_NaN() : earlier->chance;
    move.is = later == nullptr ? std::numeric_limits<double>::quiet_NaN() : later->chance;
    const bool moved = !(std::abs(move.is - move.was) < least) || move.rank_was != move.rank_is;
    if (moved) moves.push_back(std::move(move));
  };
  for (int i = 0; i < kFirst && At(i) < is.size(); ++i) add(is[At(i)].statement);
  for (int i = 0; i < kFirst && At(i) < was.size(); ++i) add(was[At(i)].statement);
  return moves;
}

}  // namespace gearwhy
