// Exactness: how far the chances of a case can be relied on, and what to do where they cannot.
//
// In: a diagnosis. Out: whether its chances are exact, else how far they may be off; and where that leaves
// nothing known (kMostError), the reports to settle first: those whose events and causes meet most in the
// largest clique of the network, because it is the meeting that makes it too wide.
// Cost: an order of elimination, where it is wanted.
#pragma once

#include <vector>

#include "engine/ground/diagnose.h"
#include "engine/model/policy.h"

namespace gearwhy {

struct Exactness {
  bool exact = true;
  // When not exact: 95% half-width of the chance that is least sure; where reports are taken for certain,
  // about how far any chance is off.
  double error = 0;
  int firm = 0;                   // so many reports are taken for certain
  std::vector<int> settle_first;  // reports by index, most first, at most five; only where nothing is known

  bool IsKnown() const { return exact || error <= kMostError; }
};

Exactness ExactnessOf(const Diagnosis& diagnosis);

}  // namespace gearwhy
