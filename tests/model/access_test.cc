#include "engine/model/access.h"

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

Words Tree() {
  Words words;
  const auto add = [&](const std::string& name, const std::string& from, double minutes) -> Access& {
    Access& access = words.access[name];
    access.name = name;
    access.from = from;
    access.minutes = minutes;
    access.cautions = {"mind the " + name};
    return access;
  };
  add("car", "", 0);
  add("lift", "car", 10);
  add("pan", "lift", 25).not_running = true;
  add("road", "car", 20);
  add("out", "lift", 180).unit_out = true;
  add("opened", "out", 60).opens = {"pan"};
  return words;
}

TEST_CASE("access is paid once, with all on the way and all that a step opens") {
  const Words words = Tree();
  CHECK(OpenWith(words, "pan") == std::set<std::string>{"car", "lift", "pan"});
  CHECK(OpenWith(words, "opened") == std::set<std::string>{"car", "lift", "opened", "out", "pan"});
  CHECK(OpenWith(words, "nowhere").empty());
  CHECK(MinutesToReach(words, "opened", {}) == 250);
  CHECK(MinutesToReach(words, "opened", OpenAccess(words, {"pan"})) == 240);
  CHECK(MinutesToReach(words, "pan", OpenAccess(words, {"opened"})) == 0);
  CHECK(CautionsToReach(words, "pan", OpenAccess(words, {"car"})) ==
        std::vector<std::string>{"mind the lift", "mind the pan"});
  // Said once, where it first holds.
  Words twice = words;
  twice.access["pan"].cautions.push_back("mind the lift");
  CHECK(CautionsToReach(twice, "pan", OpenAccess(twice, {"car"})) ==
        std::vector<std::string>{"mind the lift", "mind the pan"});
}

TEST_CASE("the tree knows what takes the unit out, what keeps it from running, and its own order") {
  const Words words = Tree();
  CHECK(StepThatTakesOut(words, "opened") == "out");
  CHECK(StepThatTakesOut(words, "out") == "out");
  CHECK(StepThatTakesOut(words, "pan").empty());
  CHECK((NeedsUnitOut(words, "opened") && !NeedsUnitOut(words, "pan")));
  CHECK((KeepsFromRunning(words, "pan") && !KeepsFromRunning(words, "lift")));
  CHECK((UnitIsOut(words, {"pan", "opened"}) && !UnitIsOut(words, {"pan"})));
  CHECK((CanRun(words, {"lift", "road"}) && !CanRun(words, {"lift", "pan"})));
  CHECK((IsStart(words, "car") && !IsStart(words, "lift")));
  CHECK(AccessInOrder(words) == std::vector<std::string>{"lift", "pan", "out", "opened", "road"});
}

}  // namespace
}  // namespace gearwhy
