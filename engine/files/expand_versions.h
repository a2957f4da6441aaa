// Expand versions: a unit with versions beside its variants becomes one with a variant for each pair of them.
//
// In: a unit with its variants, its versions, and what each part's `versions` says. Out: the same with each variant
// in each version, `heavy-late`, of which whatever is said by variant is said; the two lists stay beside
// them. Chances are those of both, which are taken to be independent. A unit without versions stays what it
// is.
// Cost: variants times versions. Errors: none.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/model/unit.h"

namespace gearwhy {

// `only_in`: by part, the versions that have it, where not all do.
void ExpandVersions(Unit& unit, const std::map<std::string, std::vector<std::string>>& only_in);

}  // namespace gearwhy
