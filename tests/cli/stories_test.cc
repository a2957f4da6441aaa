// The stories of the trade (tests/stories) come out as they expect, but for those that are listed here with
// the reason.
//
// The list is kept true from both sides: a story that is not met and not listed fails, and so does one that
// is listed and met.
#include <algorithm>
#include <filesystem>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

// Not met yet: the story, and why.
const std::map<std::string, std::string> kNotMetYet = {
    {"a-scream-in-reverse-only",
     "brake E keeps 12 in 100 of burnt frictions, as a slip in reverse alone may be its own as well"},
    {"bangs-after-the-batteries",
     "a module that fails and a high line pressure keep their share until the learnt values are read"},
    {"boils-on-the-pass", "which of two coolers is blocked cannot be told, and both share the blame"},
    {"burnt-forward-clutch-and-a-wide-bushing",
     "that the clutch grips weakly stands before that it cannot hold; both are said of the right clutch"},
    {"crawls-away-and-flies-on-the-motorway",
     "an engine down on power pulls away as poorly, and nobody has tested it"},
    {"creeps-in-neutral-from-the-rebuild",
     "fused plates keep 13 in 100, for a pack that drags burns, and burnt plates weld"},
    {"forward-only-when-it-is-revved-in-the-morning",
     "an empty converter waits in the cold as well, though it would in reverse, too"},
    {"from-the-yard-without-reverse",
     "that the clutch grips weakly stands before that it cannot hold, by a hair; both are said of the right "
     "clutch"},
    {"grinds-in-the-lower-gears-and-reverse",
     "two sets of gears, each with worn pins or failed needles, are four that are alike"},
    {"hard-into-gear-and-a-dead-speedometer-at-times",
     "the cushion plate is the second trouble of two, behind three causes of the first"},
    {"howls-in-first-and-backing-up",
     "the front carrier keeps 11 in 100 by a lack of lubrication that would have hurt both"},
    {"locked-on-two-a-roller-jammed",
     "a band set too tight is commoner after a rebuild, and nothing reported tells it from the one-way "
     "clutch"},
    {"no-fifth-and-a-whine-in-front",
     "the solenoid of the valve keeps its share, for nobody has switched it"},
    {"no-forward-till-warm",
     "that the clutch fills slowly stands before that it cannot hold; both are said of the right clutch"},
    {"no-third-and-no-reverse",
     "that the clutch grips weakly stands before that it cannot hold, by a hair; both are said of the right "
     "clutch"},
    {"races-from-third-up-when-hot",
     "the high clutch, which works in two of the three ranges, is not cleared where all three slip"},
    {"reverse-late-and-third-flares",
     "three states of the right clutch are almost alike, and the one that is meant is the third"},
    {"says-second-and-it-is-the-way-to-third",
     "a seal gone hard leaks more when it is cold, and this one is told hot: the expectation is at fault, "
     "and worn feed rings lead rightly"},
    {"second-and-fourth-gone-lining-in-the-pan",
     "a dozen causes at one band, which only opening it can tell apart"},
    {"second-only-by-luck",
     "one complaint, and nobody has asked whether third comes; the governor keeps a share"},
    {"second-too-hard-a-broken-spring",
     "ball, spring and piston of the accumulator cannot be told apart from the road"},
    {"slips-backing-the-trailer-up", "seven causes at one brake, which only opening it can tell apart"},
    {"smokes-and-needs-oil", "one complaint; a seal that leaks outward keeps a small share"},
    {"starts-only-in-neutral-bent-bracket",
     "the bracket itself is found first, and the manual valve follows far behind"},
    {"stiff-in-the-frost", "lip and inner seal of one clutch harden alike"},
    {"strawberry-milk", "not every pack that ran in water is soaked"},
    {"third-flares-a-cracked-accumulator",
     "piston, seals and spring of the accumulator cannot be told apart from the road"},
    {"third-from-rest-over-the-tramlines",
     "contacts that are corroded come and go over bumps as a broken wire does"},
    {"waits-once-in-the-morning",
     "one complaint; too little fluid keeps its share until somebody takes the level"},
    {"weak-in-reverse-only", "the clutch and the brake of reverse keep a share beside the boost"},
};

// The stories of the folder of which the program says in a line of their own that something is not as
// expected.
std::set<std::string> StoriesNamedIn(const std::string& out, const std::vector<std::string>& stories) {
  std::set<std::string> named;
  for (const std::string& story : stories) {
    if (out.find("/" + story + ".yaml:") != std::string::npos) named.insert(story);
  }
  return named;
}

TEST_CASE("stories of the trade come out as they expect, but for those listed as not met yet") {
  const std::filesystem::path folder = GEARWHY_SOURCE_DIR "/tests/stories";
  std::vector<std::string> stories;
  for (const auto& file : std::filesystem::directory_iterator(folder))
    stories.push_back(file.path().stem().string());
  std::sort(stories.begin(), stories.end());
  REQUIRE(!stories.empty());

  const auto run = RunCommand("'" GEARWHY_PROGRAM "' rules test '" + folder.string() + "' 2>&1");
  INFO(run.out);
  std::set<std::string> not_met = StoriesNamedIn(run.out, stories);
  CHECK(run.exit_code == (not_met.empty() ? 0 : 1));
  // Every story was read and counted, and the lines tell of each that is not met.
  const std::string sum = std::to_string(stories.size() - not_met.size()) + " cases as expected, " +
                          std::to_string(not_met.size()) + " not\n";
  CHECK(run.out.find(sum) != std::string::npos);

  std::set<std::string> listed;
  for (const auto& [story, reason] : kNotMetYet) {
    INFO(story);
    CHECK(!reason.empty());
    listed.insert(story);
  }
  CHECK(not_met == listed);
}

}  // namespace
}  // namespace gearwhy
