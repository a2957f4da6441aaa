// A garage small enough to be worked out by hand: faults that bring about one complaint, each with a look
// that shows it always, and tests that tell some of them apart. Faults, findings and checks come in the order
// in which they are added.
#pragma once

#include <algorithm>
#include <deque>
#include <string>
#include <vector>

#include "engine/advise/weigh_checks.h"

namespace gearwhy {

struct Garage {
  Words words;
  Network network;
  std::deque<Check> made;
  std::vector<GroundCheck> checks;

  Garage() {
    words.trusts.push_back({"seen", 1, 0, true, "seen", {}});
    words.trusts.push_back({"told", 1, 0, false, "told", {}});
    AddAccess("car", "in the car", "", 0);
  }
  void AddAccess(const std::string& name, const std::string& says, const std::string& from, double minutes) {
    Access access;
    access.name = name;
    access.says = says;
    access.from = from;
    access.minutes = minutes;
    words.access[name] = access;
  }
  int AddFault(double p, double minutes_to_look, const std::string& access = "car") {
    const int fault = static_cast<int>(network.events.size());
    network.events.push_back({"fault" + std::to_string(fault), EventType::kFault, p, {}});
    const int finding = static_cast<int>(network.events.size());
    network.events.push_back({"found" + std::to_string(fault), EventType::kFinding, 0, {{fault, 1.0}}});
    AddCheck("look" + std::to_string(fault), minutes_to_look, access, "seen", finding);
    return fault;
  }
  void AddTest(const std::string& name, double minutes, const std::vector<Cause>& causes) {
    const int finding = static_cast<int>(network.events.size());
    network.events.push_back({name, EventType::kFinding, 0, causes});
    AddCheck("test-" + name, minutes, "car", "told", finding);
  }
  void Complain(const std::vector<Cause>& causes) {
    const int complaint = static_cast<int>(network.events.size());
    network.events.push_back({"complaint", EventType::kFinding, 0, causes});
    network.reports.push_back({complaint, true, 1, 0});
  }
  EventChances Now() const {
    BeliefLimits limits;
    for (std::size_t i = 0; i < network.events.size(); ++i) {
      if (network.events[i].type == EventType::kFault) limits.also.push_back(static_cast<int>(i));
    }
    const Chances chances = ComputeChances(network, limits);
    return {chances.p_event, chances.p_by_itself};
  }
  const WeighedCheck& Find(const WeighedChecks& weighed, const std::string& key) const {
    return *std::find_if(weighed.checks.begin(), weighed.checks.end(),
                         [&](const WeighedCheck& one) { return checks[one.check].key == key; });
  }

 private:
  void AddCheck(const std::string& key, double minutes, const std::string& access, const std::string& trust,
                int finding) {
    Check check;
    check.id = key;
    check.minutes = minutes;
    check.access = access;
    check.trust = trust;
    made.push_back(check);
    checks.push_back({&made.back(), {}, key, {finding}});
  }
};

}  // namespace gearwhy
