// Groups: asks about many events without making the tree as wide as all of them together would.
//
// In: a network, the events wanted.
// Out: `visit` is called with compiled networks which together hold each wanted event once as a target.
// Method: events that need the same causes stand together; a group's tree is kept if its tables are small,
// else its halves are taken, and so on, unless the reports alone need a wide tree and the halves are no
// smaller. An event too wide even alone is returned.
// Cost: one ordering a group looked at, one tree a group visited.
#pragma once

#include <functional>
#include <vector>

#include "engine/belief/compiled_network.h"

namespace gearwhy {

using VisitGroup = std::function<void(CompiledNetwork& compiled, const std::vector<int>& events)>;

// Returns the events that are too wide.
std::vector<int> ForEachGroup(const Network& network, const BeliefLimits& limits,
                              const std::vector<int>& wanted, const VisitGroup& visit);

}  // namespace gearwhy
