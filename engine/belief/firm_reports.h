// Firm reports: good looks that found nothing are taken for certain where a case is too wide for exact
// chances.
//
// In: a network with its reports, too wide to be solved; which of its reports of something absent may be taken for
// certain. Out: those that are, and about how far any chance may be off by that.
// Method. What is certainly absent is absorbed into its causes and makes no table wider (chances.h); what may have
// been overlooked does. With A for "nothing was overlooked", |P(X | e) - P(X | e, A)| <= P(not A | e) for
// every event X, and that is the sum, over these reports, of the chance that what was reported absent is
// there all the same: (1 - s) p of (1 - s) p + 1 - p, with s the chance to notice it and p its chance without
// all of these reports. Each p leaves the other looks out, which mostly lower it. As few are taken for
// certain as let the rest be solved, found by halving, those first that are least likely to have been
// overlooked.
// Cost: two solutions, and an order of elimination for each of some four tries.
// Errors: none. Where all of them are not enough, or the sum is more than `most`, none are.
// Source: own derivation; the bound is that of conditioning on an event that is all but certain.
#pragma once

#include <vector>

#include "engine/belief/chances.h"

namespace gearwhy {

struct FirmReports {
  std::vector<int> reports;  // indices, ascending; empty: none
  double error = 0;          // about how far any chance may be off
  Chances chances;           // with these for certain; only where there are any
};

// `may_be`: of events with one report each. `limits`: of the chances wanted.
FirmReports TakeSomeForCertain(const Network& network, const std::vector<int>& may_be,
                               const BeliefLimits& limits, double most);

Network WithFirm(Network network, const std::vector<int>& reports);

}  // namespace gearwhy
