// Unit shelf: the unit files of a rulebook, read when first asked for.
//
// Threads: any number may ask at once; one at a time reads.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "engine/model/rulebook.h"
#include "engine/model/unit.h"
#include "engine/text/diagnostic.h"
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
  // Words and sources must outlive this.
  UnitShelf(const Words& words, const std::vector<Folder>& folders, Sources& sources,
            Diagnostics& diagnostics);

  // The unit, or nullptr after reporting why there is none: at `place` when no file has the name, and in the
  // file what is wrong there. Valid as long as the shelf.
  const Unit* Find(const std::string& name, const Place& place, Diagnostics& diagnostics) const;
  // The names there are, sorted.
  std::vector<std::string> Names() const;
  // What the file of a unit that was found is called and its SHA-256.
  const BookFile* FileOf(const std::string& name) const;

 private:
  struct Entry {
    std::string path;
    int source = -1;
    BookFile file;  // its name from the start, its hash once read
    bool tried = false;
    std::unique_ptr<Unit> unit;
    Diagnostics diagnostics;  // of reading it
  };
  void Read(const std::string& name, Entry& entry) const;

  const Words& words_;
  Sources& sources_;
  mutable std::mutex reading_;
  mutable std::map<std::string, Entry> entries_;
};

}  // namespace gearwhy
