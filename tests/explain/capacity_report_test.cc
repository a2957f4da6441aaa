// What elements carry on shipped units, and what must hold of it.
#include "engine/explain/capacity_report.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "tests/support/catch.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

const char* const kUnits[] = {"simpson-three-speed", "ravigneaux-four-speed", "ravigneaux-simple-five-speed",
                              "lepelletier-six-speed"};

std::vector<ElementCapacity> Of(const std::string& unit, const std::string& rest) {
  ShippedBook shipped;
  return CapacitiesOf(
      *DiagnoseText(shipped, "x", "case: x\ntitle: x\nunit: " + unit + "\n" + rest)->diagnosis);
}

const CapacityInRange& In(const std::vector<ElementCapacity>& all, const std::string& element,
                          const std::string& range) {
  for (const ElementCapacity& one : all) {
    if (one.element != element) continue;
    for (const CapacityInRange& in : one.ranges) {
      if (in.range == range) return in;
    }
  }
  FAIL(element << " in " << range);
  return all.front().ranges.front();
}

TEST_CASE("every element of every shipped unit carries what falls on it, with the least margin first") {
  for (const char* unit : kUnits) {
    for (const char* variant : {"light", "heavy"}) {
      INFO(unit << " " << variant);
      const auto all = Of(unit, std::string("variant: ") + variant + "\n");
      CHECK(all.size() >= 5);
      for (const ElementCapacity& one : all) {
        INFO(one.element);
        CHECK(one.ranges.front().margin() >= 1.2);
        for (std::size_t i = 1; i < one.ranges.size(); ++i)
          CHECK(one.ranges[i].margin() >= 0.999 * one.ranges[i - 1].margin());
        if (one.one_bar_less) CHECK(*one.one_bar_less < one.ranges.front().margin());
        if (one.one_plate_fewer) CHECK(*one.one_plate_fewer < one.ranges.front().margin());
        for (const CapacityInRange& in : one.ranges) {
          if (in.carries_new_nm) CHECK(*in.carries_new_nm >= in.carries_nm);
        }
      }
    }
  }
}

// The held member takes (ratio - 1) of the input's torque: Willis' formula and the balance of torques. One
// servo holds band D in second and in fourth, and its drum pulls it tighter in one of them only.
TEST_CASE("a band carries less in overdrive than in drive, by e to the friction times the wrap") {
  const auto all = Of("ravigneaux-four-speed", "variant: light\n");
  const CapacityInRange &second = In(all, "D", "D2"), &fourth = In(all, "D", "D4");
  CHECK(second.needs_nm == Approx(190 * (80.0 * 63 / (29 * 114) - 1)).epsilon(1e-6));
  CHECK(fourth.needs_nm == Approx(190 * (1 - 80.0 / 114)).epsilon(1e-6));
  CHECK(second.carries_nm / fourth.carries_nm == Approx(std::exp(0.12 * 2 * std::numbers::pi * 0.9)));
}

TEST_CASE("a pressure that was read takes the place of the least, and a low one carries too little") {
  const auto at = [](const char* bar) {
    const auto all =
        Of("ravigneaux-four-speed",
           std::string("variant: light\nmeasured:\n  - line_pressure: {range: R, is: ") + bar + "}\n");
    return In(all, "E", "R");
  };
  const CapacityInRange low = at("5 bar"), high = at("15 bar");
  CHECK(low.was_read);
  CHECK(low.margin() < 1);
  CHECK(high.margin() > 1);
  CHECK_FALSE(In(Of("ravigneaux-four-speed", "variant: light\n"), "E", "R").was_read);
}

TEST_CASE("where the variant is not known each has its own figures") {
  const auto all = Of("ravigneaux-four-speed", "");
  std::map<std::string, int> times;
  for (const ElementCapacity& one : all) {
    ++times[one.element];
    CHECK(one.only_in.size() == 1);
  }
  for (const auto& [element, count] : times) CHECK(count == 2);
}

TEST_CASE("variants of the same figures are told together") {
  std::map<std::string, int> times;
  for (const ElementCapacity& one : Of("lepelletier-six-speed", "")) {
    ++times[one.element];
    CHECK(one.only_in.size() == 2);  // early and late
  }
  for (const auto& [element, count] : times) CHECK(count == 2);
}

}  // namespace
}  // namespace gearwhy
