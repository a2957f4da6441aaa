// Worlds: a network of which nobody knows which of several it is.
//
// In: a network with worlds (network.h): events, links and reports of all of them under one numbering, and
// what differs. Out: each by itself, and their sums.
//   P(x | e) = sum over worlds of w P(x, e) / sum over worlds of w P(e)
// Method. Every question is asked of each world that is possible, and the answers are added up, each with the
// weight of its world times the chance of the evidence in it. So the evidence moves the worlds as well, and
// an event that only some of them have weighs as much as they do. An event that is not there is certainly
// absent: who reports it present is mistaken. Why not one network with an event for the world: it would act
// on its effects by AND, and a noisy-OR has none.
// Cost: of each question, as many times as there are worlds; with one, nothing. A copy of the network a world.
// Errors: none. Source: own derivation; it is the law of total probability.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/belief/network.h"

namespace gearwhy {

// The network as it is in one of its worlds, under the same numbers, with no worlds itself. Links that are
// not there are gone.
Network InWorld(const Network& network, std::size_t world);

// The worlds once something has been seen: `weights`, each times the exponential of its `logp`, over their
// sum. Their `logp` may be -infinity; where all are, or have no weight, the weights stay as they are.
struct WorldShares {
  std::vector<double> share;  // by world
  double logp = 0;            // of what was seen, over all worlds
};
WorldShares SharesOf(const std::vector<double>& weights, const std::vector<double>& logp);

// Adds the part that a world has in a sum over worlds; the sum may be empty at first. NaN stays NaN.
void AddShare(double share, const std::vector<double>& in_world, std::vector<double>& sum);

}  // namespace gearwhy
