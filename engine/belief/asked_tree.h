// Asked tree: an OR tree that many questions are asked of, each perhaps with a few further ORs beside it.
//
// In: nodes as of an OR tree; with each question, weights on them, and ORs of some of these nodes that are not
// among them, with what was reported of each. Out: the logarithm of the total, and each node's share.
// Method. With a the chance of what was reported of an OR if it is absent, and b if it is present,
//   a P(absent | causes) + b P(present | causes) = b + (a - b) P(absent | causes),
// and P(absent | causes) = (1 - leak) * product of (1 - q) is a weight on each cause. So the total is the sum
// of two totals of the tree, with k such ORs of 2^k, and no OR ties its causes together: one tree answers
// many questions, each about an OR or a few. The terms have signs, so digits cancel: what is left is
// compared with the terms taken without their signs, and where it is too little of these (kLeastLeft) there
// is no answer (NaN). What a term comes to is kept, as the answers to one question share most of theirs.
// Cost: a pass of the tree for each term that is not 0.
// Source: Diez & Galan 2003, Efficient computation for the noisy MAX; with all ORs beside the tree it is the
// quickscore of Heckerman 1989 - from memory.
#pragma once

#include <cstddef>
#include <map>
#include <vector>

#include "engine/belief/or_tree.h"
#include "engine/belief/weight.h"

namespace gearwhy {

struct TreeLimits {
  int width = 0;  // variables in the largest clique
  double entries = 0;
};

struct TreeQuestion {
  std::vector<Weight> weights;
  std::vector<OrNode> beside;  // ORs of nodes of the tree
};

// Not safe for use by two threads at once.
class AskedTree {
 public:
  // Finds orders only: width and cost are known, nothing may be asked before Build.
  AskedTree(std::vector<OrNode> nodes, const TreeLimits& limits);
  // By node, whose shares will be wanted; nothing is said of others. Of all, if never called.
  void TellOnly(std::vector<char> wanted) { wanted_ = std::move(wanted); }
  // Where it fits, makes the tree, perhaps with a cheaper order than was measured; once.
  void Build();

  bool fits() const { return width() <= limits_.width && entries() <= limits_.entries; }
  int width() const { return tree_.width(); }
  double entries() const { return tree_.entries(); }  // numbers in all tables
  std::vector<int> Widest() const { return tree_.Widest(); }
  std::vector<double> EntriesOfGathering() const { return tree_.EntriesOfGathering(); }

  // -infinity when nothing is left, NaN where too few digits are.
  double logp_total() const { return tree_.logp_total(); }
  double LogTotal(const TreeQuestion& question);
  // The same, and each node's share at which it is present and at which its leak struck. Untouched where
  // there is no finite total.
  double Shares(const TreeQuestion& question, std::vector<double>* present, std::vector<double>* leak_struck);

 private:
  struct Term {
    double logp = 0;
    std::vector<double> present, leak_struck;  // empty where never asked for
  };
  const Term& Work(std::vector<Weight> weights, bool shares);

  TreeLimits limits_;
  OrTree tree_;
  std::vector<char> wanted_;
  std::map<std::vector<Weight>, Term> kept_;
};

}  // namespace gearwhy
