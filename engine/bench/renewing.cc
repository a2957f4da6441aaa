#include "engine/bench/renewing.h"

namespace gearwhy {

Renewal WeighRenewal(const RenewalCosts& costs, double p_as_is, double p_renewed) {
  const double again = costs.come_back + costs.renew;
  Renewal renewal;
  renewal.if_used = p_as_is * again;
  renewal.if_renewed = costs.renew + p_renewed * again;
  // Where coming back costs nothing, nothing is saved by renewing.
  renewal.p_even = again > 0 ? p_renewed + costs.renew / again : 1;
  renewal.worth = renewal.if_renewed < renewal.if_used;
  return renewal;
}

double AnyOf(const std::vector<double>& chances) {
  double p_none = 1;
  for (const double p : chances) p_none *= 1 - p;
  return 1 - p_none;
}

}  // namespace gearwhy
