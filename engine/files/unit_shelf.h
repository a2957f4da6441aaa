// Unit shelf: the unit files of a rulebook, read when first asked for.
//
// Threads: any number may ask at once; one at a time reads.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "engine/model/layers.h"
#include "engine/model/rulebook.h"
#include "engine/model/unit.h"
#include "engine/text/diagnostic.h"
#include "engine/text/disk_cache.h"
#include "engine/text/source.h"

namespace gearwhy {

class UnitShelf {
 public:
  // A folder of units and the name it is shown by. A unit in a later folder goes before one of the same name
  // in an earlier one.
  struct Folder {
    std::string path;
    std::string shown_as;
  };
  // Finds the files; no unit is read yet. The sources must outlive this. Each folder is a layer.
  UnitShelf(const std::vector<Folder>& folders, Sources& sources, Diagnostics& diagnostics);
  // Call before any unit is asked for: whose words they speak, and what its layers change in them. It must
  // outlive this. `cache`: where units are kept that were read without a word about them; `key`: what the
  // rulebook is kept under there.
  void StandOn(const Rulebook& rules, const DiskCache& cache, const std::string& key);

  // The unit, or nullptr after reporting why there is none: at `place` when no file has the name, and in the
  // file what is wrong there. Valid as long as the shelf.
  const Unit* Find(const std::string& name, const Place& place, Diagnostics& diagnostics) const;
  // The names there are, sorted; those that a layer has files of.
  std::vector<std::string> Names() const;
  std::vector<std::string> NamesOfLayer(int layer) const;
  // The layer that the file of a unit stands in, of a unit that there is; and its index in the sources.
  int LayerOf(const std::string& name) const { return entries_.at(name).layer; }
  int SourceOf(const std::string& name) const { return entries_.at(name).source; }
  // What the file of a unit that was found is called and its SHA-256.
  const BookFile* FileOf(const std::string& name) const;

 private:
  struct Entry {
    std::string path;
    int source = -1;
    int layer = 0;
    BookFile file;  // its name from the start, its hash once read
    bool tried = false;
    std::unique_ptr<Unit> unit;
    Diagnostics diagnostics;  // of reading it
  };
  void Read(const std::string& name, Entry& entry) const;
  std::unique_ptr<Unit> Load(const std::string& name, const Entry& entry, Diagnostics& diagnostics) const;

  const Rulebook* rules_ = nullptr;
  DiskCache cache_;
  std::string key_of_rules_;
  Sources& sources_;
  mutable std::mutex reading_;
  mutable std::map<std::string, Entry> entries_;
};

}  // namespace gearwhy
