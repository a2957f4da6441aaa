// Weighing checks: against the minutes worked out by hand for a world small enough, and what must hold
// whatever the world.
#include "engine/advise/weigh_checks.h"

#include <algorithm>
#include <random>

#include "engine/model/policy.h"
#include "tests/support/catch.h"
#include "tests/support/garage.h"

namespace gearwhy {
namespace {

WeighedChecks WeighAll(const Garage& garage, const std::vector<std::string>& open = {},
                       const WeighedChecks* known = nullptr, const BeliefLimits& limits = {}) {
  WeighOptions options;
  options.worked_out = 100;
  options.known = known;
  return WeighChecks(garage.words, garage.network, HowCommon(garage.network), garage.Now(), garage.checks,
                     open, options, limits);
}

// Two to six suspects, common or rare, with looks long or short, and the links by which they bring about the
// complaint.
std::vector<Cause> AddSuspects(Garage& garage, std::mt19937& random) {
  std::vector<Cause> causes;
  const int count = 2 + static_cast<int>(random() % 5);
  for (int i = 0; i < count; ++i) {
    const double p = 0.01 * static_cast<double>(1 + random() % 20);
    const int fault = garage.AddFault(p, 5 + static_cast<double>(random() % 90));
    causes.push_back({fault, 0.5 + 0.05 * static_cast<double>(random() % 10)});
  }
  return causes;
}

TEST_CASE("a test that parts two equal suspects saves the look in vain, as worked out by hand") {
  // Two faults so rare that never both are there, looks of 60 minutes each; the test of 5 minutes shows the
  // second alone.
  Garage garage;
  const int first = garage.AddFault(1e-6, 60);
  const int second = garage.AddFault(1e-6, 60);
  garage.AddTest("of-second", 5, {{second, 1.0}});
  garage.Complain({{first, 1.0}, {second, 1.0}});
  const WeighedChecks weighed = WeighAll(garage);
  // Looks alone: 60, and 60 more half of the time. With the test first: 5 and the one look that is right.
  CHECK(weighed.minutes_to_cause == Approx(60 + 0.5 * 60).epsilon(1e-3));
  CHECK(garage.Find(weighed, "test-of-second").minutes_to_cause == Approx(5 + 60).epsilon(1e-3));
  CHECK(garage.Find(weighed, "look0").minutes_to_cause == Approx(60 + 0.5 * 60).epsilon(1e-3));
  CHECK(garage.checks[weighed.checks.front().check].key == "test-of-second");
  // One look always, the other half of the time; the test and one look.
  CHECK(garage.Find(weighed, "look0").checks_to_cause == Approx(1.5).epsilon(1e-3));
  CHECK(garage.Find(weighed, "test-of-second").checks_to_cause == Approx(2).epsilon(1e-3));
}

TEST_CASE("of what leads to the cause equally soon, less access comes first, then fewer minutes") {
  Garage garage;
  garage.AddAccess("pan_off", "with the pan off", "car", 30);
  // By a hundredth likelier, and an hour each: with the pan off, longer in the car, shorter in the car.
  const int behind_pan = garage.AddFault(1.01e-6, 30, "pan_off");
  const int longer = garage.AddFault(1.005e-6, 60.3);
  const int shorter = garage.AddFault(1e-6, 60);
  garage.Complain({{behind_pan, 1.0}, {longer, 1.0}, {shorter, 1.0}});
  const WeighedChecks weighed = WeighAll(garage);
  std::vector<std::string> keys;
  for (const WeighedCheck& one : weighed.checks) keys.push_back(garage.checks[one.check].key);
  CHECK(keys == std::vector<std::string>{"look4", "look2", "look0"});
}

TEST_CASE("what tells nothing does not come first for being handy") {
  Garage garage;
  const int first = garage.AddFault(1e-6, 600);
  const int second = garage.AddFault(1e-6, 600);
  const int other = garage.AddFault(1e-3, 600);
  garage.AddTest("of-other", 3, {{other, 1.0}});  // in ten hours nobody would notice
  garage.Complain({{first, 1.0}, {second, 1.0}});
  const WeighedChecks weighed = WeighAll(garage);
  CHECK(garage.Find(weighed, "test-of-other").minutes_to_cause <
        weighed.minutes_to_cause * (1 + kEquallySoon));
  CHECK(garage.checks[weighed.checks.front().check].key == "look0");
}

TEST_CASE("a test that costs more than it saves does not come first") {
  Garage garage;
  const int first = garage.AddFault(1e-6, 10);
  const int second = garage.AddFault(1e-6, 10);
  garage.AddTest("of-second", 6, {{second, 1.0}});  // saves 5 of the 15 minutes
  garage.Complain({{first, 1.0}, {second, 1.0}});
  const WeighedChecks weighed = WeighAll(garage);
  CHECK(garage.Find(weighed, "test-of-second").minutes_to_cause == Approx(6 + 10).epsilon(1e-3));
  CHECK(garage.checks[weighed.checks.front().check].key == "look0");
}

TEST_CASE("a test about another trouble is worth nothing: it only takes its minutes") {
  std::mt19937 random(11);
  for (int trial = 0; trial < 50; ++trial) {
    Garage garage;
    const std::vector<Cause> causes = AddSuspects(garage, random);
    const int other = garage.AddFault(0.1, 20);
    garage.AddTest("of-other", 3, {{other, 0.9}});
    garage.Complain(causes);
    const WeighedChecks weighed = WeighAll(garage);
    INFO("trial " << trial);
    CHECK(garage.Find(weighed, "test-of-other").minutes_to_cause == Approx(weighed.minutes_to_cause + 3));
  }
}

TEST_CASE("whatever a check tells, the first is not noticeably later than looks alone, nor than any other") {
  std::mt19937 random(12);
  for (int trial = 0; trial < 50; ++trial) {
    Garage garage;
    const std::vector<Cause> causes = AddSuspects(garage, random);
    for (int t = 0; t < 3; ++t) {
      std::vector<Cause> told;
      for (const Cause& suspect : causes) {
        if (random() % 2 == 0) told.push_back({suspect.event, 0.05 * static_cast<double>(1 + random() % 19)});
      }
      garage.AddTest(std::to_string(t), 1 + static_cast<double>(random() % 30), told);
    }
    garage.Complain(causes);
    const WeighedChecks weighed = WeighAll(garage);
    INFO("trial " << trial);
    REQUIRE(weighed.has_look);
    const double some_more = 1 + kEquallySoon + 1e-9;
    CHECK(weighed.checks.front().minutes_to_cause <= weighed.minutes_to_cause * some_more);
    for (std::size_t i = 0; i < weighed.checks.size(); ++i) {
      for (std::size_t later = i + 1; later < weighed.checks.size(); ++later)
        CHECK(weighed.checks[i].minutes_to_cause <= weighed.checks[later].minutes_to_cause * some_more);
    }
  }
}

TEST_CASE("too much work for all checks: the first look comes first, and nothing is promised of the others") {
  Garage garage;
  const int first = garage.AddFault(1e-6, 60);
  const int second = garage.AddFault(1e-6, 60);
  garage.AddTest("of-second", 5, {{second, 1.0}});
  garage.Complain({{first, 1.0}, {second, 1.0}});
  BeliefLimits limits;
  limits.answer_work = 0;
  const WeighedChecks weighed = WeighChecks(garage.words, garage.network, HowCommon(garage.network),
                                            garage.Now(), garage.checks, {}, {}, limits);
  REQUIRE(!weighed.checks.empty());
  CHECK(weighed.checks.front().check == weighed.first_look);
  for (const WeighedCheck& one : weighed.checks) CHECK_FALSE(one.answers.exact);
}

TEST_CASE("answers worked out before are as good as new ones, whatever else has been opened") {
  std::mt19937 random(13);
  for (int trial = 0; trial < 20; ++trial) {
    Garage garage;
    garage.AddAccess("pan", "with the pan off", "car", 30);
    std::vector<Cause> causes = AddSuspects(garage, random);
    causes.push_back({garage.AddFault(0.05, 10, "pan"), 0.7});
    garage.AddTest("of-first", 4, {causes.front()});
    garage.Complain(causes);
    const WeighedChecks before = WeighAll(garage);
    const WeighedChecks anew = WeighAll(garage, {"pan"});
    const WeighedChecks again = WeighAll(garage, {"pan"}, &before);
    REQUIRE(again.checks.size() == anew.checks.size());
    CHECK(again.minutes_to_cause < before.minutes_to_cause);
    BeliefLimits nothing;
    nothing.answer_work = 0;
    for (const WeighedCheck& one : WeighAll(garage, {"pan"}, &before, nothing).checks)
      CHECK(one.answers.exact);
    for (std::size_t i = 0; i < anew.checks.size(); ++i) {
      CHECK(again.checks[i].check == anew.checks[i].check);
      CHECK(again.checks[i].bits == anew.checks[i].bits);
      CHECK(again.checks[i].minutes_to_cause == anew.checks[i].minutes_to_cause);
    }
  }
}

}  // namespace
}  // namespace gearwhy
