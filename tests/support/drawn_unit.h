// Drawn unit: one unit of a rulebook as benchmarks draw transmissions of it, and how their command lines say
// which.
#pragma once

#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

#include "cli/session.h"
#include "engine/model/access.h"
#include "tests/support/drawn_trouble.h"
#include "tests/support/first_variant.h"

namespace gearwhy {

// In its first variant, with nothing known of it.
struct DrawnUnit {
  std::string unit, variant;
  GroundNetwork ground;
  std::vector<GroundCheck> checks;  // with every finding that each tells
  std::vector<int> causes_first;
  std::vector<char> may_be_complaint;  // by event
  std::vector<char> needs_unit_out;    // by event: a fault whose repair does
  Sights sights;
  const Network& network() const { return ground.network; }
};

// Ends the program where there is no such unit.
inline DrawnUnit MakeDrawnUnit(const Session& session, const std::string& unit) {
  DrawnUnit drawn;
  drawn.unit = unit;
  drawn.variant = FirstVariant(session, unit);
  Diagnostics diagnostics;
  Case c;
  c.id = c.title = "drawn";
  c.unit = unit;
  c.variant = drawn.variant;
  const auto diagnosis = session.GroundCase(c, diagnostics);
  if (!diagnosis) {
    session.Print(diagnostics);
    std::exit(1);
  }
  drawn.ground = diagnosis->ground;
  drawn.checks = GroundChecksOf(*diagnosis);
  drawn.causes_first = CausesFirst(drawn.network());
  drawn.may_be_complaint = PossibleComplaints(drawn.ground);
  const Words& words = session.book().words;
  for (const GroundEvent& event : drawn.ground.events)
    drawn.needs_unit_out.push_back(NeedsUnitOut(words, event.repair));
  drawn.sights = SightsOf(words, drawn.network(), drawn.checks);
  return drawn;
}

// What every such benchmark can be told.
struct DrawOptions {
  std::string rules;  // empty: the shipped rulebook
  int draws = 0;
  std::vector<std::string> units;  // none: all
  std::uint64_t seed = 1;

  void Take(std::string_view flag, const char* value) {
    if (flag == "--rules") rules = value;
    if (flag == "--draws") draws = std::atoi(value);
    if (flag == "--unit") units.push_back(value);
    if (flag == "--seed") seed = static_cast<std::uint64_t>(std::atoll(value));
  }
};

}  // namespace gearwhy
