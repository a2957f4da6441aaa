// Layer report: what each folder of a rulebook adds and changes, and how the rankings of cases move by it.
//
// In: an opened rulebook of several layers; for the moves, one case put on two rulebooks. Out: plain data.
// Cost: the reading of all units, in which layers change things, too; of the moves, a ranking without reasons each.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/files/unit_shelf.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

struct LayerReport {
  struct Change {
    LayerChange change;
    std::optional<Place> overridden;  // by what stands there
  };
  struct Folder {
    std::string name;
    std::size_t files = 0;  // of the rulebook; units have their own
    std::vector<std::string> units;
    std::vector<AddedEntry> added;
    std::vector<Change> changes;
  };
  std::vector<Folder> folders;  // from the rulebook upwards
};

// Units that cannot be read are reported.
LayerReport MakeLayerReport(const Rulebook& book, const UnitShelf& units, Diagnostics& diagnostics);

// One suspect whose chance or place in the ranking is another. Chances are NaN, and places 0, where there is
// none.
struct SuspectMove {
  Statement statement;
  double was = 0, is = 0;
  int rank_was = 0, rank_is = 0;
};
// Of the first three of either ranking those that moved by `least` or changed their place, in the order of
// the later.
std::vector<SuspectMove> MovesBetween(const Diagnosis& before, const Diagnosis& after, double least = 0.01);

}  // namespace gearwhy
