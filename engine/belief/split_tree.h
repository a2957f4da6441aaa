// Split tree: an OR tree beside which ORs may stand that are summed as two terms each instead of within it.
//
// In: nodes as of an OR tree; with each question, ORs of some of these nodes that are not among them, and what was
// reported of each. Out: the logarithm of the total, and each node's share.
// Method. With a the chance of what was reported of an OR if it is absent, and b if it is present,
//   a P(absent | causes) + b P(present | causes) = b + (a - b) P(absent | causes),
// and P(absent | causes) = (1 - leak) * product of (1 - q) is a weight on each cause. So the total is the sum
// of two totals of the tree, with k such ORs of 2^k, and no OR ties its causes together. This serves twice:
// one tree answers many questions, each about an OR or a few; and where the tree would be too wide, ORs in it
// that cause nothing themselves are split from it, those first that stand in the largest tables. The terms
// have signs, so digits cancel: what is left is compared with the terms taken without their signs, and where
// it is too little of these (kLeastLeft) there is no answer (NaN). What a term comes to is kept, as the
// answers to one question share most of theirs.
// Cost: a pass of the tree for each term that is not 0.
// Source: Diez & Galan 2003, Efficient computation for the noisy MAX; with all ORs split it is the quickscore of
// Heckerman 1989 - from memory.
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
  int split = 0;  // ORs
};

struct TreeQuestion {
  std::vector<Weight> weights;
  std::vector<OrNode> beside;  // ORs of nodes of the tree that are kept
};

// Not safe for use by two threads at once.
class SplitTree {
 public:
  // Finds orders only: width and cost are known, nothing may be asked before Build. Splits where it does not
  // fit the limits otherwise, but none of the nodes `kept`.
  SplitTree(std::vector<OrNode> nodes, const std::vector<int>& kept, const TreeLimits& limits);
  // By node, whose shares will be wanted; nothing is said of others. Of all, if never called.
  void TellOnly(std::vector<char> wanted) { wanted_ = std::move(wanted); }
  // Where it fits, makes the tree, perhaps with a cheaper order than was measured; once. False where too few
  // digits are left, and nothing may be asked.
  [[nodiscard]] bool Build();

  bool fits() const { return width() <= limits_.width && entries() <= limits_.entries; }
  int width() const { return tree_.width(); }
  // Numbers in all tables, counted once for each term of the ORs that are split.
  double entries() const { return tree_.entries() * static_cast<double>(std::size_t{1} << split_.size()); }
  std::vector<int> Widest() const { return tree_.Widest(); }
  std::vector<double> EntriesOfGathering() const { return tree_.EntriesOfGathering(); }
  std::size_t count_split() const { return split_.size(); }

  // -infinity when nothing is left, NaN where too few digits are.
  double logp_total() const { return logp_total_; }
  double LogTotal(const TreeQuestion& question);
  // The same, and each node's share at which it is present and at which its leak struck. Untouched where
  // there is no finite total.
  double Shares(const TreeQuestion& question, std::vector<double>* present, std::vector<double>* leak_struck);

 private:
  struct Term {
    double logp = 0;
    std::vector<double> present, leak_struck;  // empty where never asked for
  };
  // The ORs that are summed as two terms: first those split from the tree, as the question weighs them, then
  // those beside it.
  struct Terms {
    std::vector<Weight> weights;  // of every term
    std::vector<OrNode> ors;
    double logp_one = 0;  // the tree's total under these weights: that of no term is larger

    std::size_t count() const { return std::size_t{1} << ors.size(); }
    // What the term is multiplied by, in which just the ORs of these bits stand as absent; the part of one
    // left out.
    double Factor(std::size_t term, std::size_t but) const;
    double Factor(std::size_t term) const { return Factor(term, ors.size()); }
    std::vector<Weight> Weights(std::size_t term) const;
  };

  void SplitUntilItFits(const std::vector<int>& kept);
  Terms TermsOf(const TreeQuestion& question, bool shares);
  const Term& Work(std::vector<Weight> weights, bool shares);
  bool TellsOfSplit(const Terms& terms, std::size_t term) const;

  std::vector<OrNode> nodes_;  // those that are split have no causes any more
  TreeLimits limits_;
  OrTree tree_;
  std::vector<int> split_;         // nodes
  std::vector<OrNode> split_ors_;  // and what they were
  std::vector<char> wanted_;
  double logp_total_ = 0;
  std::map<std::vector<Weight>, Term> kept_;
};

}  // namespace gearwhy
