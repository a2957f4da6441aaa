// Elimination order: in which order to sum variables out so that the tables in between stay small.
//
// In: a graph over variables 0..n-1 whose edges join variables that meet in a factor.
// Out: the order, and for each variable the clique it is summed out of: its neighbours at that moment.
// Method: min-fill. At each step the variable goes whose neighbours lack the fewest edges among themselves;
// ties go to the fewest neighbours, then the lowest index, so the order is a function of what goes in alone.
// Counts are kept up to date: only the neighbours of the removed variable and the common neighbours of a new
// edge can change. Min-fill is often unlucky with its ties: with `tries` it is done so often again with the
// counts blurred at random, by a generator of its own that always starts alike, and the cheapest order is
// kept. `waits_for`, if given, names for a variable another that must go before it, or -1. `weights`, if
// given, says how many products a variable costs where tables that share it are joined; 2 for each if not.
// With `most_entries`, an order whose tables hold more numbers is given up on the way: it is not whole then,
// and tells only of the variables that have gone.
// Cost: for each time about n^2 / 2 comparisons and n * neighbours^2 * n / 64 word operations; some half a
// millisecond for 300 variables.
// Source: Kjaerulff 1990, Triangulation of graphs: algorithms giving small total state space; Fishelson &
// Geiger 2003, Optimizing exact genetic linkage computations, for the random tries - from memory.
#pragma once

#include <limits>
#include <utility>
#include <vector>

namespace gearwhy {

struct Elimination {
  std::vector<int> order;  // variables, first eliminated first
  std::vector<std::vector<int>>
      later;           // by place in the order: the neighbours when it goes, all eliminated later
  int width = 0;       // variables in the largest clique, the eliminated one included
  double entries = 0;  // sum over cliques of 2^variables
  double cost = 0;     // sum over cliques of the product of the weights
  bool is_whole = true;
};

Elimination MinFill(int variables, const std::vector<std::pair<int, int>>& edges,
                    const std::vector<int>& waits_for = {}, const std::vector<double>& weights = {},
                    int tries = 0, double most_entries = std::numeric_limits<double>::infinity());

}  // namespace gearwhy
