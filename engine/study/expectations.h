// Expectations: whether a case's `expect:` holds.
//
// In: the diagnosis of a case. Out: what is not as expected, in the order of the file.
// An entry of `reasons` has to stand in what the book says for the suspect, whatever it weighs, or in what
// speaks for it by clearing its rivals.
// Cost: next to nothing, but a why report (why_report.h) where an entry stands in the latter alone.
#pragma once

#include <string>
#include <vector>

#include "engine/ground/diagnose.h"
#include "engine/model/policy.h"

namespace gearwhy {

struct UnmetExpectation {
  enum class What {
    kNotHere,    // this transmission cannot have it
    kSuspected,  // its chance is above what an expectation against it allows
    kRank,       // it is not among the first so many
    kAtLeast,    // its chance is too low
    kAtMost,     // or too high
    kReason,     // `reason` is not among its reasons
  };
  const Expectation* expected = nullptr;  // the case's, which must outlive this
  What what = What::kNotHere;
  double chance = 0;  // as it came out, and so the rank; not for kNotHere
  int rank = 0;
  std::string reason = {};  // the id of an entry of the rulebook
};

std::vector<UnmetExpectation> UnmetExpectations(const Diagnosis& diagnosis);

}  // namespace gearwhy
