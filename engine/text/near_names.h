// The known name nearest to a mistyped one, for hints.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>

namespace gearwhy {

// Number of single-character insertions, deletions, replacements and swaps of neighbours that turn a into b.
int EditDistance(std::string_view a, std::string_view b);

// The nearest of `known`, ignoring case and `-` against `_`, if it is near enough to be meant: at most a
// third of the length, and at least one edit. Ties go to the first in the alphabet.
std::optional<std::string> NearestName(std::string_view wrong, std::span<const std::string> known);

// "; did you mean `x`?" or, when nothing is near, "; known are `a`, `b`, `c`" with at most `most` names (none
// for 0), those that are least unlike it, or "" when nothing is known.
std::string Hint(std::string_view wrong, std::span<const std::string> known, int most = 8);

// The same of names that have a spoken form each, or none (""): "; did you mean `R`, reverse?" where that is
// what was written.
using SpokenName = std::pair<std::string, std::string>;  // `R`, "reverse"
std::string SpokenHint(std::string_view wrong, std::span<const SpokenName> known, int most = 8);

}  // namespace gearwhy
