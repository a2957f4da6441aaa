// Firm reports: good looks that found nothing are taken for certain where a case is too wide for exact
// chances.
//
// In: a network with its reports, too wide to be solved; which of its reports of something absent may be taken for
// certain. Out: those that are, and about how far any chance may be off by that.
// Method. What is certainly absent is absorbed into its causes and makes no table wider (chances.h); what may have
// been overlooked does. With A for "nothing was overlooked", |P(X | e) - P(X | e, A)| <= P(not A | e) for
// every event X. How likely it is that one look alone has overlooked something, all others being certain,
// against that none has, is
//   r = (1 - s) p / (m (1 - p))
// with s the chance to notice it, m that nothing is seen where there is nothing, and p its chance without
// this look: 1 - p is how much likelier all reports but this one are than all of them
// (CompiledNetwork::TakeBack), so each takes a pass of the same tree, or another tree where that cannot be
// told from it. Those of the least r are taken, as many as stay within one of the errors that are allowed:
// the least of these that lets the rest be solved. That two looks have overlooked something is left out:
// P(not A | e) is taken for R / (1 + R), with R the sum of their r. On cases of the shipped book where the
// exact chances were to be had, too, the most that any chance was off was a twentieth to a half of that.
// Cost: a pass for each report; then an order of elimination for each error, and a solution.
// Errors: none. Where all that may be taken are not enough, none are.
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

// A look that may have overlooked something.
struct GoodLook {
  double ratio = 0;  // how likely it is that it alone has, against that none has
  int report = 0;
};
// Those first that are least likely to have. `may_be`: reports, of events with one each. None where even with
// all of them for certain the network is too wide, or impossible.
std::vector<GoodLook> SurestFirst(const Network& network, const std::vector<int>& may_be,
                                  const BeliefLimits& limits);

// `limits`: of the chances wanted. `errors`: those allowed, ascending.
FirmReports TakeForCertain(const Network& network, const std::vector<GoodLook>& looks,
                           const BeliefLimits& limits, const std::vector<double>& errors);

Network WithFirm(Network network, const std::vector<int>& reports);

}  // namespace gearwhy
