// Next report: what `gearwhy next` says of a case: the best next checks, and whether the unit must come out.
//
// In: a diagnosis. Out: checks with what they tell and how each answer would move the suspects; the decision
// to pull the unit (pull.h).
// Cost: that of pull.h.
#pragma once

#include <string>
#include <vector>

#include "engine/advise/pull.h"

namespace gearwhy {

struct NextReport {
  std::string case_id, title;
  std::vector<NextCheck> checks;  // best first
  double minutes_to_cause = 0;    // expected until the cause has been seen, by the best way
  PullDecision pull;
  bool can_run = true;  // false: checks that need the vehicle to run are left out, because of what is open
  ExactnessNote exactness;
};

NextReport MakeNextReport(const Diagnosis& diagnosis, int most);

}  // namespace gearwhy
