// Book archive: a rulebook, and a unit, as bytes and back, so that what was read from YAML once can be kept in
// the cache (text/disk_cache.h).
//
// In, out: all of it, with the places. The bytes are the program's own, in its layout of numbers and structs: only
// the build that has written them may read them.
// Method: cereal, with one function for each struct (book_archive.cc).
// Cost: for the shipped rulebook 1 MB. Opening it takes about a twentieth of what it takes from its YAML.
// Errors: none. The cache gives back what was put there, or nothing.
#pragma once

#include <optional>
#include <string>

#include "engine/model/rulebook.h"
#include "engine/model/unit.h"
#include "engine/text/disk_cache.h"

namespace gearwhy {

// `What` is a Rulebook or a Unit. Nothing where the cache has none under the key.
template <typename What>
std::optional<What> FindIn(const DiskCache& cache, const std::string& key);
template <typename What>
void KeepIn(const DiskCache& cache, const std::string& key, const What& what);

}  // namespace gearwhy
