// Next report: what `gearwhy next` says of a case: the best next checks, and whether the unit must come out.
//
// In: a diagnosis. Out: checks with what they tell and how each answer would move the suspects; the decision
// to pull the unit (pull.h).
// Cost: that of pull.h.
#pragma once

#include <string>
#include <vector>

#include "engine/advise/case_verdict.h"

namespace gearwhy {

struct NextReport {
  std::string case_id, title;
  std::vector<NextCheck> checks;  // best first
  double minutes_to_cause = 0;    // expected until the cause has been seen, by the best way
  CaseVerdict verdict;            // and the decision to pull the unit
  bool can_run = true;  // false: checks that need the vehicle to run are left out, because of what is open
  ExactnessNote exactness;
};

NextReport MakeNextReport(const Diagnosis& diagnosis, int most);

// What stands beside a ranking: what the case comes to, and the best checks with their cautions, each once.
struct LookNext {
  std::optional<Outcome> outcome;
  std::vector<NextCheck> checks;      // best first
  std::vector<std::string> cautions;  // names in the words
  CaseVerdict verdict;
};
// Nothing where the chances are not known (exactness.h).
LookNext FindLookNext(const Diagnosis& diagnosis, const RankReport& ranking, int most = 3);

}  // namespace gearwhy
