// Follows: which faults and findings can come of which, through the links of the network.
//
// In: a network. Out: whether one event can bring about another, directly or through others.
// Method: what lies above an event is walked once, along links that act often enough to be spoken of.
// Cost: of an event that is asked for, one walk over its ancestors. Errors: none. Threads: one at a time.
#pragma once

#include <map>
#include <vector>

#include "engine/belief/network.h"
#include "engine/model/policy.h"

namespace gearwhy {

class Follows {
 public:
  // A chain of links that acts more seldom than `least_way` is none.
  explicit Follows(const Network& network, double least_way = kLeastWayToFollow)
      : network_(network), least_way_(least_way) {}

  bool From(int cause, int effect);
  // All that can bring it about, and how often the best way does.
  const std::map<int, double>& Above(int effect);

 private:
  const Network& network_;
  double least_way_;
  std::map<int, std::map<int, double>> above_;  // by event: its ancestors, and how often the best way acts
};

}  // namespace gearwhy
