// The OR tree gives the same numbers however much of its work it keeps, whatever was asked before, and
// whatever order it found.
#include "engine/belief/or_tree.h"

#include <cmath>
#include <random>

#include "tests/belief/random_nodes.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// The same, or both impossible.
bool Same(double logp, double other) {
  return std::isinf(logp) ? std::isinf(other) : std::abs(logp - other) < 1e-9;
}

TEST_CASE("a tree that has been asked answers as a new one does, also after what cannot be") {
  std::mt19937 random(1);
  int impossible = 0;
  int compared = 0;
  for (int trial = 0; trial < 300; ++trial) {
    const std::vector<OrNode> nodes = Layers(random, 3, 2 + static_cast<int>(random() % 4));
    OrTree tree(nodes);
    tree.Build(trial % 2 == 0 ? 2e6 : 0);  // keeps its tables, or forgets them
    for (int question = 0; question < 12; ++question) {
      INFO("trial " << trial << " question " << question);
      const std::vector<Weight> weights = SomeWeights(random, nodes.size());
      OrTree fresh(Weighed(nodes, weights));
      fresh.Build();
      impossible += std::isinf(fresh.logp_total());
      if (random() % 4 == 0) {
        REQUIRE(Same(tree.LogTotal(weights), fresh.logp_total()));
        continue;
      }
      std::vector<double> present, leak_struck, fresh_present, fresh_leak_struck;
      REQUIRE(Same(tree.Shares(weights, &present, &leak_struck),
                   fresh.Shares({}, &fresh_present, &fresh_leak_struck)));
      REQUIRE(present.size() == fresh_present.size());
      for (std::size_t i = 0; i < present.size(); ++i) {
        REQUIRE(std::abs(present[i] - fresh_present[i]) < 1e-9);
        REQUIRE(std::abs(leak_struck[i] - fresh_leak_struck[i]) < 1e-9);
        ++compared;
      }
    }
  }
  CHECK(impossible > 100);
  CHECK(compared > 5000);
}

TEST_CASE("an improved order stays within its limits, is found once, and gives the same shares") {
  std::mt19937 random(5);
  int changed = 0;
  for (int trial = 0; trial < 12; ++trial) {
    INFO("trial " << trial);
    const std::vector<OrNode> nodes = Layers(random, 3, 12);
    OrTree plain(nodes);
    OrTree improved(nodes);
    improved.Improve(plain.width(), plain.entries());
    CHECK(improved.width() <= plain.width());
    CHECK(improved.entries() <= plain.entries());
    changed += improved.entries() != plain.entries();
    const double entries = improved.entries();
    improved.Improve(60, 1e12);
    CHECK(improved.entries() == entries);
    if (plain.entries() > 3e5) continue;  // long to sum
    plain.Build();
    improved.Build();
    std::vector<double> present, leak_struck, present_improved, leak_struck_improved;
    const double logp = plain.Shares({}, &present, &leak_struck);
    REQUIRE(Same(improved.Shares({}, &present_improved, &leak_struck_improved), logp));
    for (std::size_t i = 0; i < present.size(); ++i) {
      REQUIRE(std::abs(present_improved[i] - present[i]) < 1e-9);
      REQUIRE(std::abs(leak_struck_improved[i] - leak_struck[i]) < 1e-9);
    }
  }
  CHECK(changed > 0);
}

TEST_CASE("where few shares are wanted, these are the same") {
  std::mt19937 random(5);
  for (int trial = 0; trial < 300; ++trial) {
    INFO("trial " << trial);
    const std::vector<OrNode> nodes = Layers(random, 3, 2 + static_cast<int>(random() % 4));
    OrTree tree(nodes);
    tree.Build(trial % 2 == 0 ? 2e6 : 0);
    std::vector<char> wanted(nodes.size());
    for (char& one : wanted) one = random() % 4 == 0;
    const std::vector<Weight> weights = SomeWeights(random, nodes.size());
    std::vector<double> some_present, some_struck, present, struck;
    const double logp = tree.Shares(weights, &some_present, &some_struck, &wanted);
    REQUIRE(Same(logp, tree.Shares(weights, &present, &struck)));
    for (std::size_t n = 0; n < some_present.size(); ++n) {
      if (wanted[n] == 0) continue;
      CHECK(some_present[n] == present[n]);
      CHECK(some_struck[n] == struck[n]);
    }
  }
}

TEST_CASE("a weight instead of what was reported is that of a tree with another report") {
  std::mt19937 random(6);
  for (int trial = 0; trial < 300; ++trial) {
    INFO("trial " << trial);
    std::vector<OrNode> nodes = Layers(random, 3, 2 + static_cast<int>(random() % 4));
    OrTree tree(nodes);
    tree.Build();
    const auto node = random() % nodes.size();
    const double logp = tree.LogTotal({{static_cast<int>(node), 0.7, 0.2, true}});
    nodes[node].if_absent = 0.7;
    nodes[node].if_present = 0.2;
    OrTree fresh(nodes);
    fresh.Build();
    REQUIRE(Same(logp, fresh.logp_total()));
  }
}

}  // namespace
}  // namespace gearwhy
