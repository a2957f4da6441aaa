#include "engine/text/near_names.h"

#include <string>
#include <vector>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

TEST_CASE("edit distance counts insertions, deletions, replacements and swaps") {
  const struct {
    const char* a;
    const char* b;
    int distance;
  } cases[] = {
      {"", "", 0},
      {"", "abc", 3},
      {"abc", "abc", 0},
      {"kitten", "sitting", 3},   // the usual example of the edit distance, from memory
      {"saturday", "sunday", 3},  // likewise
      {"ca", "abc", 3},  // 3 by optimal string alignment, 2 were edits of edited parts allowed; from memory
      {"range", "rnage", 1},
      {"ab", "ba", 1},
      {"abcd", "badc", 2},
  };
  for (const auto& c : cases) {
    CAPTURE(c.a, c.b);
    CHECK(EditDistance(c.a, c.b) == c.distance);
    CHECK(EditDistance(c.b, c.a) == c.distance);
  }
}

TEST_CASE("the nearest name is near enough to be meant") {
  const std::vector<std::string> known = {"range", "heat", "fluid_level", "R", "D3", "D4"};
  const auto nearest = [&](const char* wrong) { return NearestName(wrong, known).value_or("-"); };
  CHECK(nearest("rang") == "range");
  CHECK(nearest("ragne") == "range");
  CHECK(nearest("Fluid-Level") == "fluid_level");
  CHECK(nearest("fluidlevel") == "fluid_level");
  CHECK(nearest("het") == "heat");
  CHECK(nearest("r") == "R");
  CHECK(nearest("P") == "-");    // one letter for another is another name
  CHECK(nearest("D5") == "D3");  // both are one edit away: the first in the alphabet
  CHECK(nearest("pressure") == "-");
  CHECK(nearest("") == "-");
  CHECK(NearestName(std::string(100'000, 'a'), known) == std::nullopt);
  CHECK(NearestName("a", {}) == std::nullopt);
}

TEST_CASE("a hint names the nearest, or what is known") {
  const std::vector<std::string> known = {"range", "heat", "load"};
  CHECK(Hint("rang", known) == "; did you mean `range`?");
  CHECK(Hint("zzz", known) == "; known are `range`, `heat`, `load`");
  CHECK(Hint("zzz", known, 2) == "; known are `range`, `heat` and 1 more");
  CHECK(Hint("zzz", known, 0).empty());
  CHECK(Hint("rang", known, 0) == "; did you mean `range`?");
  CHECK(Hint("zzz", {}).empty());
}

TEST_CASE("of too many names those are shown that are least unlike what was written") {
  const std::vector<std::string> known = {"ants", "bees", "line_pressure_limit", "wasps", "line_pressure"};
  CHECK(Hint("pressure_of_the_line", known, 2) ==
        "; known are `line_pressure_limit`, `line_pressure` and 3 more");
  CHECK(Hint("pressure", known, 2) == "; known are `line_pressure_limit`, `line_pressure` and 3 more");
}

TEST_CASE("who writes what is said instead of the name is told the name") {
  const std::vector<SpokenName> known = {{"D1", "first"}, {"R", "reverse"}, {"B", ""}};
  CHECK(SpokenHint("reverse", known) == "; did you mean `R`, reverse?");
  CHECK(SpokenHint("revers", known) == "; did you mean `R`, reverse?");
  CHECK(SpokenHint("r", known) == "; did you mean `R`?");
  CHECK(SpokenHint("fourth", known) == "; known are `D1`, `R`, `B`");
}

}  // namespace
}  // namespace gearwhy
