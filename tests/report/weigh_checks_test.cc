// Weighing checks: against the minutes worked out by hand for a world small enough, and what must hold whatever the world.
#include "engine/report/weigh_checks.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <random>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// Faults that bring about one complaint, each with a look that shows it always; and tests that tell some of them apart.
struct Garage {
  Words words;
  Network network;
  std::deque<Check> made;
  std::vector<GroundCheck> checks;
  int complaint = -1;

  Garage() {
    words.trusts.push_back({"seen", 1, 0, true, "seen", {}});
    words.trusts.push_back({"told", 1, 0, false, "told", {}});
    words.access["car"] = {"car", "in the car", "", 0, false, {}};
  }
  int AddFault(double p, double minutes_to_look) {
    const int fault = static_cast<int>(network.events.size());
    network.events.push_back({"fault" + std::to_string(fault), EventType::kFault, p, {}});
    const int finding = static_cast<int>(network.events.size());
    network.events.push_back({"found" + std::to_string(fault), EventType::kFinding, 0, {{fault, 1.0}}});
    AddCheck("look" + std::to_string(fault), minutes_to_look, "seen", finding);
    return fault;
  }
  void AddTest(const std::string& name, double minutes, const std::vector<Cause>& causes) {
    const int finding = static_cast<int>(network.events.size());
    network.events.push_back({name, EventType::kFinding, 0, causes});
    AddCheck("test-" + name, minutes, "told", finding);
  }
  void Complain(const std::vector<Cause>& causes) {
    complaint = static_cast<int>(network.events.size());
    network.events.push_back({"complaint", EventType::kFinding, 0, causes});
    network.reports.push_back({complaint, true, 1, 0});
  }
  WeighedChecks Weigh() const {
    BeliefLimits limits;
    for (std::size_t i = 0; i < network.events.size(); ++i) {
      if (network.events[i].type == EventType::kFault) limits.also.push_back(static_cast<int>(i));
    }
    const Chances chances = ComputeChances(network, limits);
    WeighOptions options;
    options.worked_out = 100;
    return WeighChecks(words, network, {chances.p_event, chances.p_by_itself}, checks, {}, options);
  }
  // Two to six suspects, common or rare, with looks long or short, and the links by which they bring about the complaint.
  std::vector<Cause> AddSuspects(std::mt19937& random) {
    std::vector<Cause> causes;
    const int count = 2 + static_cast<int>(random() % 5);
    for (int i = 0; i < count; ++i) {
      const double p = 0.01 * static_cast<double>(1 + random() % 20);
      const int fault = AddFault(p, 5 + static_cast<double>(random() % 90));
      causes.push_back({fault, 0.5 + 0.05 * static_cast<double>(random() % 10)});
    }
    return causes;
  }
  const WeighedCheck& Find(const WeighedChecks& weighed, const std::string& key) const {
    return *std::find_if(weighed.checks.begin(), weighed.checks.end(), [&](const WeighedCheck& one) { return checks[one.check].key == key; });
  }

 private:
  void AddCheck(const std::string& key, double minutes, const std::string& trust, int finding) {
    Check check;
    check.id = key;
    check.minutes = minutes;
    check.access = "car";
    check.trust = trust;
    made.push_back(check);
    checks.push_back({&made.back(), {}, key, {finding}});
  }
};

TEST_CASE("a test that parts two equal suspects saves the look in vain, as worked out by hand") {
  // Two faults so rare that never both are there, looks of 60 minutes each; the test of 5 minutes shows the second alone.
  Garage garage;
  const int first = garage.AddFault(1e-6, 60);
  const int second = garage.AddFault(1e-6, 60);
  garage.AddTest("of-second", 5, {{second, 1.0}});
  garage.Complain({{first, 1.0}, {second, 1.0}});
  const WeighedChecks weighed = garage.Weigh();
  // Looks alone: 60, and 60 more half of the time. With the test first: 5 and the one look that is right.
  CHECK(weighed.minutes_to_cause == Approx(60 + 0.5 * 60).epsilon(1e-3));
  CHECK(garage.Find(weighed, "test-of-second").minutes_to_cause == Approx(5 + 60).epsilon(1e-3));
  CHECK(garage.Find(weighed, "look0").minutes_to_cause == Approx(60 + 0.5 * 60).epsilon(1e-3));
  CHECK(garage.checks[weighed.checks.front().check].key == "test-of-second");
}

TEST_CASE("a test that costs more than it saves does not come first") {
  Garage garage;
  const int first = garage.AddFault(1e-6, 10);
  const int second = garage.AddFault(1e-6, 10);
  garage.AddTest("of-second", 6, {{second, 1.0}});  // saves 5 of the 15 minutes
  garage.Complain({{first, 1.0}, {second, 1.0}});
  const WeighedChecks weighed = garage.Weigh();
  CHECK(garage.Find(weighed, "test-of-second").minutes_to_cause == Approx(6 + 10).epsilon(1e-3));
  CHECK(garage.checks[weighed.checks.front().check].key == "look0");
}

TEST_CASE("a test about another trouble is worth nothing: it only takes its minutes") {
  std::mt19937 random(11);
  for (int trial = 0; trial < 50; ++trial) {
    Garage garage;
    const std::vector<Cause> causes = garage.AddSuspects(random);
    const int other = garage.AddFault(0.1, 20);
    garage.AddTest("of-other", 3, {{other, 0.9}});
    garage.Complain(causes);
    const WeighedChecks weighed = garage.Weigh();
    INFO("trial " << trial);
    CHECK(garage.Find(weighed, "test-of-other").minutes_to_cause == Approx(weighed.minutes_to_cause + 3));
  }
}

TEST_CASE("whatever a check tells, the first is never later than looks alone") {
  std::mt19937 random(12);
  for (int trial = 0; trial < 50; ++trial) {
    Garage garage;
    const std::vector<Cause> causes = garage.AddSuspects(random);
    for (int t = 0; t < 3; ++t) {
      std::vector<Cause> told;
      for (const Cause& suspect : causes) {
        if (random() % 2 == 0) told.push_back({suspect.event, 0.05 * static_cast<double>(1 + random() % 19)});
      }
      garage.AddTest(std::to_string(t), 1 + static_cast<double>(random() % 30), told);
    }
    garage.Complain(causes);
    const WeighedChecks weighed = garage.Weigh();
    INFO("trial " << trial);
    REQUIRE(weighed.has_look);
    CHECK(weighed.checks.front().minutes_to_cause <= weighed.minutes_to_cause + 1e-9);
    CHECK(std::is_sorted(weighed.checks.begin(), weighed.checks.end(), [](const WeighedCheck& a, const WeighedCheck& b) {
      return a.minutes_to_cause < b.minutes_to_cause;
    }));
  }
}

TEST_CASE("too much work for all checks: the first look comes first, and nothing is promised of the others") {
  Garage garage;
  const int first = garage.AddFault(1e-6, 60);
  const int second = garage.AddFault(1e-6, 60);
  garage.AddTest("of-second", 5, {{second, 1.0}});
  garage.Complain({{first, 1.0}, {second, 1.0}});
  const Chances chances = ComputeChances(garage.network);
  BeliefLimits limits;
  limits.answer_work = 0;
  const WeighedChecks weighed =
      WeighChecks(garage.words, garage.network, {chances.p_event, chances.p_by_itself}, garage.checks, {}, {}, limits);
  REQUIRE(!weighed.checks.empty());
  CHECK(weighed.checks.front().check == weighed.first_look);
  for (const WeighedCheck& one : weighed.checks) CHECK_FALSE(one.answers.exact);
}

}  // namespace
}  // namespace gearwhy
