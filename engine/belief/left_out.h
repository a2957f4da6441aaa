// Left out: which reports are not reckoned with where a case is too wide for exact chances of all.
//
// In: a network with its reports, too wide to be solved. Out: reports without which it is not. The chances are then exact,
// of what the others say.
// Method. A report of an event ties the causes of that event together. As long as the network is too wide, one
// event of which something was reported goes without it: of those that nothing else reported follows from,
// the one whose reports say least for the tables that its OR stands in, entries / |ln (chance if present /
// chance if absent)|.
// Cost: an order of elimination for each event that goes.
// Errors: none; at worst no report is left.
#pragma once

#include <vector>

#include "engine/belief/chances.h"

namespace gearwhy {

// Indices, ascending.
std::vector<int> ReportsToLeaveOut(const Network& network, const BeliefLimits& limits);

Network WithLeftOut(Network network, const std::vector<int>& reports);

}  // namespace gearwhy
