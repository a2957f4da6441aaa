// Brute force: the chances of a small network by adding up every assignment of every event, in extended
// precision. Shares no code with the engine: the oracle of the exact solver.
#pragma once

#include <random>
#include <vector>

#include "engine/belief/network.h"

namespace gearwhy {

struct BruteForce {
  std::vector<double> p_event;
  std::vector<double> p_by_itself;
  double logp_reports = 0;  // -infinity when impossible, and then the chances are zero
};
BruteForce AddUpEverything(const Network& network);

// A random network for tests: faults (some with causes), layers of states, findings; extreme numbers now and
// then; events in shuffled order.
struct RandomShape {
  int faults = 6;
  int states = 4;
  int findings = 4;
  int reports = 3;
  int most_causes = 3;
  bool extremes = true;  // leaks of 0, links of 0 and 1, doubled links
};
Network RandomNetwork(std::mt19937& random, const RandomShape& shape);

}  // namespace gearwhy
