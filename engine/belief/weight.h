// Weight: what a question multiplies in on one binary variable.
#pragma once

#include <compare>

namespace gearwhy {

struct Weight {
  int variable = 0;
  double if_absent = 1;
  double if_present = 1;
  bool instead = false;  // of what weighs there already, not beside it

  friend auto operator<=>(const Weight&, const Weight&) = default;
};

}  // namespace gearwhy
