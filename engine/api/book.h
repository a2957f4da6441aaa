// Book: an opened rulebook: its files read and checked, its units, and the transmissions made of them.
//
// In: the folders of the rulebook, the shipped one first, a shop's own behind it. Out: what every case needs. Units
// are read, and transmissions made, when a case first asks for them, and kept.
// Cost: of opening, the reading of all files (most of the time of a single answer), or next to nothing where the same
// has been read before and is in the cache; of a transmission, see transmission.h; of what was made before, a
// look.
// Errors: what is wrong in a file, at its place. What is wrong in a unit is told with every case of it.
// Threads: any number may ask an opened book at once.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/files/load_rulebook.h"
#include "engine/files/unit_shelf.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

struct BookFolder {
  std::string path;
  std::string shown_as;  // in messages and reasons, instead of the path
};

class Book {
 public:
  // `sources` receives every text that is read, also where no book comes of it, and must outlive the book.
  // `without`: as in load_rulebook.h; the places of a book opened before of the same folders hold.
  // `cache_folder`: where what was read is kept (text/disk_cache.h), the book and each unit by itself; empty:
  // nowhere. Only what nothing is said about is kept, so that messages are the same with it. A book `without`
  // something is not.
  static std::unique_ptr<Book> Open(const std::vector<BookFolder>& folders, Sources& sources,
                                    Diagnostics& diagnostics,
                                    const std::optional<Place>& without = std::nullopt,
                                    const std::string& cache_folder = "");

  const Rulebook& rules() const { return rules_; }
  const UnitShelf& units() const { return *units_; }

  // The unit as a transmission, worked out once; null after reporting why there is none, at `place` where no
  // unit has the name. Valid as long as the book.
  const UnitKnowledge* Know(const std::string& unit, const Place& place, Diagnostics& diagnostics) const;
  // Of a unit and variant; both may be empty: without the variant, all that it may be. Nothing in it after
  // reporting why there is none.
  Mixture Find(const std::string& unit, const WhichVariants& which, const Place& place,
               Diagnostics& diagnostics) const;

  // A case from a text of `sources`, which may stand on the book's (source.h). An empty id means: whatever
  // the case says. The case that it has come back from is read from `folder`, too.
  std::optional<Case> ReadCase(Sources& sources, int source, const std::string& id, const std::string& folder,
                               Diagnostics& diagnostics) const;
  // The case on its transmission, with chances or without. `c` must outlive the result, and so must the book.
  std::optional<Diagnosis> DiagnoseCase(const Case& c, const BeliefLimits& limits,
                                        Diagnostics& diagnostics) const;
  std::optional<Diagnosis> GroundCase(const Case& c, Diagnostics& diagnostics) const;

 private:
  Book() = default;

  // Everything of the rulebook but its units.
  std::optional<Rulebook> ReadRules(const std::vector<BookLayer>& layers, const Sources& sources,
                                    Diagnostics& diagnostics, const std::optional<Place>& without) const;
  // `later`: the cases that have come back from this one, the last among them.
  std::optional<Case> ReadCaseAfter(Sources& sources, int source, const std::string& id,
                                    const std::string& folder, const std::vector<std::string>& later,
                                    Diagnostics& diagnostics) const;

  Rulebook rules_;
  std::unique_ptr<UnitShelf> units_;

  struct Known {
    std::optional<UnitKnowledge> unit;
    Diagnostics diagnostics;
  };
  struct Made {
    std::shared_ptr<const Transmission> transmission;
    Diagnostics diagnostics;
  };
  // One at a time makes what is missing.
  mutable std::mutex making_;
  mutable std::map<std::string, Known> known_;
  mutable std::map<std::pair<std::string, std::string>, Made> made_;  // by unit and variant
};

}  // namespace gearwhy
