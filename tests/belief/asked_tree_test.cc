// A tree with ORs beside it answers as the one in which they stand, or says that too few digits are left.
#include "engine/belief/asked_tree.h"

#include <cmath>
#include <random>

#include "tests/belief/random_nodes.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

constexpr TreeLimits kAny = {60, 1e12};

struct Told {
  double logp = 0;
  std::vector<double> present, leak_struck;
};

Told AskWhole(const std::vector<OrNode>& nodes, const std::vector<Weight>& weights) {
  OrTree tree(nodes);
  tree.Build();
  Told told;
  told.logp = tree.Shares(weights, &told.present, &told.leak_struck);
  return told;
}

Told Ask(AskedTree& tree, const TreeQuestion& question) {
  Told told;
  told.logp = tree.Shares(question, &told.present, &told.leak_struck);
  return told;
}

// Of the first `nodes`. Returns whether there was anything to compare: digits enough, and not impossible.
bool SameOf(std::size_t nodes, const Told& told, const Told& expected) {
  if (std::isnan(told.logp)) return false;
  if (std::isinf(expected.logp)) {
    REQUIRE(std::isinf(told.logp));
    return false;
  }
  REQUIRE(std::abs(told.logp - expected.logp) < 1e-4);
  for (std::size_t n = 0; n < nodes; ++n) {
    REQUIRE(std::abs(told.present[n] - expected.present[n]) < 1e-4);
    REQUIRE(std::abs(told.leak_struck[n] - expected.leak_struck[n]) < 1e-4);
  }
  return true;
}

TEST_CASE("what stands beside a tree is as if it stood in it") {
  std::mt19937 random(3);
  const auto uniform = [&] { return std::uniform_real_distribution<double>(0.02, 0.9)(random); };
  int compared = 0;
  for (int trial = 0; trial < 200; ++trial) {
    const std::vector<OrNode> nodes = Layers(random, 3, 2 + static_cast<int>(random() % 3));
    std::vector<int> hung_on;
    for (std::size_t n = 0; n < nodes.size(); ++n) {
      if (random() % 2 == 0) hung_on.push_back(static_cast<int>(n));
    }
    AskedTree tree(nodes, kAny);
    tree.Build();
    for (int question = 0; question < 8; ++question) {
      INFO("trial " << trial << " question " << question);
      TreeQuestion asked{SomeWeights(random, nodes.size()), {}};
      std::vector<OrNode> all = nodes;
      for (auto n = random() % 4; n > 0; --n) {
        OrNode beside;
        beside.p_leak = uniform() / 5;
        for (const int cause : hung_on) {
          if (random() % 3 == 0) beside.causes.push_back({cause, uniform()});
        }
        if (beside.causes.empty()) continue;
        beside.if_absent = random() % 4 == 0 ? 0 : uniform();
        beside.if_present = random() % 4 == 0 ? 0 : uniform();
        asked.beside.push_back(beside);
        all.push_back(beside);
      }
      const Told told = Ask(tree, asked);
      compared += SameOf(nodes.size(), told, AskWhole(all, asked.weights));
      const double logp = tree.LogTotal(asked);
      REQUIRE((logp == told.logp || (std::isnan(logp) && std::isnan(told.logp))));
    }
  }
  CHECK(compared > 700);
}

TEST_CASE("digits that cancel are noticed") {
  // Two findings of the same 30 causes, reported for certain: one less nearly one.
  std::vector<OrNode> nodes;
  OrNode finding;
  for (int i = 0; i < 30; ++i) {
    OrNode cause;
    cause.p_leak = 0.01;
    nodes.push_back(cause);
    finding.causes.push_back({i, 0.9});
  }
  finding.if_absent = 0;
  const TreeQuestion both{{}, {finding, finding}};
  AskedTree tree(nodes, kAny);
  tree.Build();
  std::vector<OrNode> all = nodes;
  all.insert(all.end(), {finding, finding});
  CHECK(std::abs(tree.LogTotal(both) - AskWhole(all, {}).logp) < 1e-12);
  // No cause is there: impossible, and nothing but rounding is left of one less one.
  std::vector<Weight> none;
  for (int i = 0; i < 30; ++i) none.push_back({i, 1, 0});
  CHECK_FALSE(std::isfinite(tree.LogTotal({none, both.beside})));
  // So rare that the digits left are too few.
  for (OrNode& node : nodes) node.p_leak = 1e-12;
  AskedTree rarest(nodes, kAny);
  rarest.Build();
  CHECK(std::isnan(rarest.LogTotal(both)));
}

}  // namespace
}  // namespace gearwhy
