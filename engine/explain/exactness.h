// Exactness: how far the chances of a case can be relied on.
//
// In: a diagnosis. Out: whether its chances are exact and of all that was reported; else what was done so that they
// could be worked out, and about how far they may be off by that.
#pragma once

#include <vector>

#include "engine/ground/diagnose.h"

namespace gearwhy {

struct Exactness {
  bool exact = true;
  bool known = true;          // false: no chances could be worked out
  double error = 0;           // about how far any chance is off by the reports that are taken for certain
  int firm = 0;               // so many
  std::vector<int> left_out;  // reports that the chances do not reckon with, by index
};

Exactness ExactnessOf(const Diagnosis& diagnosis);

}  // namespace gearwhy
