// Random nodes of an OR tree, and questions to put to it.
#pragma once

#include <cstddef>
#include <random>
#include <utility>
#include <vector>

#include "engine/belief/or_tree.h"

namespace gearwhy {

// Layers of nodes, each with a few causes in the layer above; some reported, some links and leaks certain.
inline std::vector<OrNode> Layers(std::mt19937& random, int layers, int in_each) {
  const auto uniform = [&] { return std::uniform_real_distribution<double>(0.02, 0.9)(random); };
  std::vector<OrNode> nodes;
  for (int layer = 0; layer < layers; ++layer) {
    for (int i = 0; i < in_each; ++i) {
      OrNode node;
      node.p_leak = random() % 4 == 0 ? 0 : uniform() / 5;
      for (int c = 0; layer > 0 && c < in_each; ++c) {
        if (random() % 3 == 0)
          node.causes.push_back({(layer - 1) * in_each + c, random() % 4 == 0 ? 1 : uniform()});
      }
      if (random() % 3 == 0) {
        node.if_absent = random() % 4 == 0 ? 0 : uniform();
        node.if_present = uniform();
      }
      nodes.push_back(std::move(node));
    }
  }
  return nodes;
}

inline std::vector<Weight> SomeWeights(std::mt19937& random, std::size_t nodes) {
  std::vector<Weight> weights;
  for (auto n = random() % 4; n > 0; --n) {
    const int node = static_cast<int>(random() % nodes);
    const auto kind = random() % 4;
    weights.push_back({node,
                       kind == 0   ? 0.0
                       : kind == 1 ? 1.0
                                   : 0.3,
                       kind == 0   ? 1.0
                       : kind == 1 ? 0.0
                                   : 0.8});
  }
  return weights;
}

inline std::vector<OrNode> Weighed(std::vector<OrNode> nodes, const std::vector<Weight>& weights) {
  for (const Weight& weight : weights) {
    nodes[static_cast<std::size_t>(weight.variable)].if_absent *= weight.if_absent;
    nodes[static_cast<std::size_t>(weight.variable)].if_present *= weight.if_present;
  }
  return nodes;
}

}  // namespace gearwhy
