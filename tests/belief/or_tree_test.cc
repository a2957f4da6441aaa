// The OR tree gives the same numbers however much of its work it keeps, and whatever order it found.
#include "engine/belief/or_tree.h"

#include <cmath>
#include <random>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// Layers of nodes, each with a few causes in the layer above; some reported.
std::vector<OrNode> Layers(std::mt19937& random, int layers, int in_each) {
  const auto uniform = [&] { return std::uniform_real_distribution<double>(0.02, 0.9)(random); };
  std::vector<OrNode> nodes;
  for (int layer = 0; layer < layers; ++layer) {
    for (int i = 0; i < in_each; ++i) {
      OrNode node;
      node.p_leak = uniform() / 5;
      for (int c = 0; layer > 0 && c < in_each; ++c) {
        if (random() % 3 == 0) node.causes.push_back({(layer - 1) * in_each + c, uniform()});
      }
      if (random() % 3 == 0) {
        node.if_absent = uniform();
        node.if_present = uniform();
      }
      nodes.push_back(std::move(node));
    }
  }
  return nodes;
}

TEST_CASE("what an OR tree keeps for the way back changes no bit, also after something is multiplied in for good") {
  std::mt19937 random(11);
  for (int trial = 0; trial < 40; ++trial) {
    INFO("trial " << trial);
    const std::vector<OrNode> nodes = Layers(random, 3, 6);
    OrTree keeps(nodes);
    OrTree forgets(nodes);
    keeps.Build();
    forgets.Build(0);
    REQUIRE(keeps.logp_total() == forgets.logp_total());
    for (int question = 0; question < 6; ++question) {
      const std::vector<Weight> weights = {{static_cast<int>(random() % nodes.size()), 0.3, 0.8},
                                           {static_cast<int>(random() % nodes.size()), 1, 0.1}};
      if (question == 3) {
        REQUIRE(keeps.Absorb(weights) == forgets.Absorb(weights));
        continue;
      }
      std::vector<double> present, leak_struck, present_anew, leak_struck_anew;
      REQUIRE(keeps.Shares(weights, &present, &leak_struck) == forgets.Shares(weights, &present_anew, &leak_struck_anew));
      REQUIRE(present == present_anew);
      REQUIRE(leak_struck == leak_struck_anew);
    }
  }
}

TEST_CASE("an improved order has fewer numbers in its tables or leaves them, and the shares are the same") {
  std::mt19937 random(5);
  double plain_entries = 0;
  double improved_entries = 0;
  for (int trial = 0; trial < 4; ++trial) {
    INFO("trial " << trial);
    const std::vector<OrNode> nodes = Layers(random, 3, 13);
    OrTree plain(nodes);
    OrTree improved(nodes);
    improved.Improve();
    plain_entries += plain.entries();
    improved_entries += improved.entries();
    plain.Build();
    improved.Build();
    std::vector<double> present, leak_struck, present_improved, leak_struck_improved;
    const double logp = plain.Shares({}, &present, &leak_struck);
    REQUIRE(std::abs(improved.Shares({}, &present_improved, &leak_struck_improved) - logp) < 1e-9);
    for (std::size_t i = 0; i < present.size(); ++i) {
      REQUIRE(std::abs(present_improved[i] - present[i]) < 1e-9);
      REQUIRE(std::abs(leak_struck_improved[i] - leak_struck[i]) < 1e-9);
    }
  }
  CHECK(improved_entries < plain_entries);
}

}  // namespace
}  // namespace gearwhy
