// Orders of elimination: sound ones, against all orders of small graphs and against graphs whose widths are
// known.
#include "engine/belief/elimination.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>
#include <set>

#include "engine/text/at.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

using Edges = std::vector<std::pair<int, int>>;

// What an order comes to by the definition: whoever goes joins its neighbours.
Elimination ByDefinition(int variables, const Edges& edges, const std::vector<int>& order,
                         const std::vector<double>& weights) {
  Elimination elimination;
  elimination.order = order;
  std::vector<std::set<int>> neighbours(At(variables));
  for (const auto& [a, b] : edges) {
    neighbours[At(a)].insert(b);
    neighbours[At(b)].insert(a);
  }
  for (const int gone : order) {
    double clique = weights[At(gone)];
    for (const int u : neighbours[At(gone)]) clique *= weights[At(u)];
    elimination.cost += clique;
    elimination.later.emplace_back(neighbours[At(gone)].begin(), neighbours[At(gone)].end());
    const int width = static_cast<int>(neighbours[At(gone)].size()) + 1;
    elimination.width = std::max(elimination.width, width);
    elimination.entries += std::exp2(width);
    for (const int u : neighbours[At(gone)]) {
      neighbours[At(u)].erase(gone);
      for (const int v : neighbours[At(gone)]) {
        if (u != v) neighbours[At(u)].insert(v);
      }
    }
  }
  return elimination;
}

bool Waits(const std::vector<int>& order, const std::vector<int>& waits_for) {
  std::vector<std::size_t> place(order.size());
  for (std::size_t i = 0; i < order.size(); ++i) place[At(order[i])] = i;
  for (std::size_t v = 0; v < waits_for.size(); ++v) {
    if (waits_for[v] >= 0 && place[v] < place[At(waits_for[v])]) return false;
  }
  return true;
}

Edges Grid(int side) {
  Edges edges;
  for (int row = 0; row < side; ++row) {
    for (int column = 0; column < side; ++column) {
      if (column + 1 < side) edges.emplace_back(row * side + column, row * side + column + 1);
      if (row + 1 < side) edges.emplace_back(row * side + column, (row + 1) * side + column);
    }
  }
  return edges;
}

TEST_CASE("an order's cost is what it says, is never below that of the best order, and tries only lower it") {
  std::mt19937 random(7);
  int cheaper = 0;
  double all_tried = 0;
  double all_least = 0;
  constexpr int kGraphs = 60;
  for (int graph = 0; graph < kGraphs; ++graph) {
    INFO("graph " << graph);
    const int variables = 5 + static_cast<int>(random() % 3);
    Edges edges;
    for (int a = 0; a < variables; ++a) {
      for (int b = a + 1; b < variables; ++b) {
        if (random() % 5 < 2) edges.emplace_back(a, b);
      }
    }
    std::vector<double> weights(At(variables));
    for (double& weight : weights) weight = random() % 2 == 0 ? 2 : 3;
    std::vector<int> waits_for(At(variables), -1);
    waits_for[1] = 0;
    waits_for[4] = 2;

    std::vector<int> order(At(variables));
    std::iota(order.begin(), order.end(), 0);
    double least = std::numeric_limits<double>::infinity();
    do {
      if (Waits(order, waits_for))
        least = std::min(least, ByDefinition(variables, edges, order, weights).cost);
    } while (std::next_permutation(order.begin(), order.end()));

    const Elimination plain = MinFill(variables, edges, waits_for, weights);
    const Elimination tried = MinFill(variables, edges, waits_for, weights, 30);
    for (const Elimination& elimination : {plain, tried}) {
      REQUIRE(Waits(elimination.order, waits_for));
      const Elimination same = ByDefinition(variables, edges, elimination.order, weights);
      CHECK(elimination.cost == same.cost);
      CHECK(elimination.entries == same.entries);
      CHECK(elimination.width == same.width);
      CHECK(elimination.later == same.later);
      CHECK(elimination.cost >= least);
    }
    CHECK(tried.cost <= plain.cost);
    cheaper += tried.cost < plain.cost;
    all_tried += tried.cost;
    all_least += least;
  }
  CHECK(cheaper > 0);
  CHECK(all_tried < 1.05 * all_least);
}

// The treewidth of a square grid is its side (Bodlaender 1998, A partial k-arboretum of graphs with bounded
// treewidth - from memory); the largest clique has one variable more.
TEST_CASE("small grids come out as wide as they are") {
  for (const int side : {2, 3, 4, 5, 6}) {
    INFO("side " << side);
    CHECK(MinFill(side * side, Grid(side)).width == side + 1);
    CHECK(MinFill(side * side, Grid(side), {}, {}, 20).width == side + 1);
  }
}

TEST_CASE("an order is whole even where its cost is beyond all numbers") {
  CHECK(MinFill(5, {{0, 1}, {1, 2}, {2, 3}, {3, 4}, {4, 0}}, {}, std::vector<double>(5, 1e200), 3)
            .order.size() == 5);
}

TEST_CASE("trees of any size have cliques of two") {
  std::mt19937 random(3);
  Edges edges;
  for (int v = 1; v < 500; ++v) edges.emplace_back(static_cast<int>(random() % static_cast<unsigned>(v)), v);
  const Elimination elimination = MinFill(500, edges);
  CHECK(elimination.width == 2);
  CHECK(elimination.entries == 499 * 4 + 2);
}

}  // namespace
}  // namespace gearwhy
