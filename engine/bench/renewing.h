// Renewing: whether a part that could be used again is better renewed while it lies open.
//
// In: what renewing it costs now, what coming back costs, both in one unit of their own (minutes or money), and how
// often the unit comes back for the part as it is and renewed. Out: what either comes to, the chance at
// which they are alike, and which is better.
// Method. Who comes back pays for that and renews the part then; the first of it is all that is counted. So
//   used again: p_as_is × (come back + renew)        renewed: renew + p_renewed × (come back + renew)
// and renewing is worth it where the second is less. They are alike at
//   p_even = p_renewed + renew / (come back + renew).
// What several parts cost adds up, so each is weighed by itself; the unit comes back for any of them with
// 1 - Π(1 - p), where they fail independently.
// Source: expected cost, own derivation; the product as for parts in series, Barlow and Proschan 1965,
// Mathematical Theory of Reliability, from memory. Cost: none to speak of. Errors: none.
#pragma once

#include <vector>

namespace gearwhy {

struct RenewalCosts {
  double renew = 0;      // while it lies open; at least 0
  double come_back = 0;  // to where it lies open again; at least 0
};

struct Renewal {
  double if_used = 0;     // expected cost of using it again
  double if_renewed = 0;  // and of renewing it
  double p_even = 0;      // above 1: no chance would be enough
  bool worth = false;
};

Renewal WeighRenewal(const RenewalCosts& costs, double p_as_is, double p_renewed);

// The chance of any of several, each by itself.
double AnyOf(const std::vector<double>& chances);

}  // namespace gearwhy
