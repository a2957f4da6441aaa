// Groups: asks about many events without making the tree as wide as all of them together would.
//
// In: a network, the events wanted. Out: `visit` is called with compiled networks which together hold each wanted event once as a target.
// Method: all in one tree if its tables stay small, else each half of them, and so on. An event that is too wide even alone is given to
// `give_up`, once for all such.
#pragma once

#include <functional>
#include <vector>

#include "engine/belief/compiled_network.h"

namespace gearwhy {

using VisitGroup = std::function<void(CompiledNetwork& compiled, const std::vector<int>& events)>;

// `keep`: the wanted events will be supposed present or absent. Returns the events that are too wide.
std::vector<int> ForEachGroup(const Network& network, const BeliefLimits& limits, const std::vector<int>& wanted, bool keep,
                              const VisitGroup& visit);

}  // namespace gearwhy
