// OR tree: sums a noisy-OR network exactly, and gives every event's share of the total, without dividing its
// ORs beforehand.
//
// In: nodes with leaks and links, in which everything certain has been settled. Out: the logarithm of the
// total, and each node's share at which it is present, at which its own leak struck; also under further
// weights on single nodes, which are worked out anew only from those nodes to the root.
// Method. Every node with causes has a gathering variable, the OR of its contributions met so far
// (or_tables.h), and, where it causes something itself, a decided variable, which its gathering variable
// becomes once all contributions are in. Variables are eliminated in a min-fill order of the plain graph of
// causes and effects, decided ones after their gathering ones; tables joined on the way decide by themselves
// in what order an OR is put together, so that a network is as narrow as its graph and not as its widest OR.
// Going back, the derivative of the total by every input gives all shares in one pass (Darwiche 2003). Tables
// are scaled to a largest entry of 1, the logarithm kept aside. Every number is non-negative, and nothing is
// subtracted. What a table was after each input is kept for the way back, unless that is too much to keep.
// Cost: a pass is at most the sum over cliques of 3^variables, mostly far less; width 12 is about a
// millisecond.
// Source: Zhang & Poole 1996 (causal independence); Darwiche 2003, A differential approach to inference -
// from memory.
#pragma once

#include <cstddef>
#include <limits>
#include <utility>
#include <vector>

#include "engine/belief/elimination.h"
#include "engine/belief/or_tables.h"
#include "engine/belief/weight.h"

namespace gearwhy {

struct OrLink {
  int cause = 0;  // a node
  double q = 0;
};

struct OrNode {
  double p_leak = 0;           // with no causes: its chance
  std::vector<OrLink> causes;  // no cause twice
  double if_absent = 1;        // what was reported of it
  double if_present = 1;
};

// Not safe for use by two threads at once: questions share scratch space.
class OrTree {
 public:
  // Finds an order only: width and cost are known, nothing may be asked before Build. Beyond so many numbers
  // in its tables it is given up, and cannot be built.
  explicit OrTree(std::vector<OrNode> nodes, double most_entries = std::numeric_limits<double>::infinity());
  // Looks for a cheaper order, once and before Build, where the tree is large enough for that. What is within
  // these limits stays within them.
  void Improve(int most_width, double most_entries);
  // With the order found so far; once. Tables are kept for the way back if they hold at most so many numbers:
  // 16 MB, and as much again under weights.
  void Build(double most_kept = 2e6);

  int width() const { return elimination_.width; }
  double entries() const { return elimination_.entries; }
  // The nodes whose variables meet in the largest clique, ascending, each once.
  std::vector<int> Widest() const;
  // By node: the entries of all tables in which its OR is in the making.
  std::vector<double> EntriesOfGathering() const;

  double logp_total() const { return logp_total_; }
  // With `weights` multiplied in (Weight::variable is a node); -infinity when nothing is left.
  double LogTotal(const std::vector<Weight>& weights);
  // The same, and each node's share at which it is present and at which its leak struck. Untouched when
  // nothing is left. `wanted`, if given, says by node whose shares are: the way back leads only there, and
  // nothing is said of others.
  double Shares(const std::vector<Weight>& weights, std::vector<double>* present,
                std::vector<double>* leak_struck, const std::vector<char>* wanted = nullptr);

 private:
  // What goes into a bucket's table: a leak, a link, or what another bucket sends.
  struct Input {
    enum class What { kLeak, kLink, kMessage } what = What::kLeak;
    int bucket = -1;             // kMessage: the sender
    std::vector<double> values;  // kLeak, kLink
    std::vector<int> scope;      // variables, bit 0 first
  };
  struct Bucket {
    int variable = 0;
    int node = 0;
    // A gathering variable whose node has a decided one: sends it on under that name.
    bool becomes_decided = false;
    int parent = -1;             // bucket; -1 for a root
    std::vector<int> sends;      // variables of its message, bit 0 first
    std::vector<Input> inputs;   // smallest first
    std::vector<OrJoin> joins;   // join i adds input i + 1 to what came before
    std::size_t table_size = 1;  // of all inputs joined; its own variable is the top bit
    // becomes_decided: the entry of the table that each entry of the message is; elsewhere the table's halves
    // are added.
    std::vector<std::size_t> sent_from;
    std::vector<double> message;
    double scale = 0;                 // logarithm
    std::vector<double> new_message;  // under the weights of the question at hand
    double new_scale = 0;
    // What the table was after each input, where that is kept: as the message, and as the new one.
    std::vector<std::vector<double>> partial, new_partial;
    bool touched = false;  // by the weights of the question at hand
    bool told = true;      // the shares of its node are wanted
    bool passed = true;    // the way back leads here, or further
  };

  void MakeVariables();
  Elimination Order(int tries) const;
  void MakeBuckets();
  void MakeJoins(Bucket& bucket, const std::vector<int>& position);
  const double* ValuesOf(const Input& input) const;
  double Touch(const std::vector<Weight>& weights);
  void MarkWanted(const std::vector<char>* wanted);
  void Work(Bucket& bucket);
  std::vector<std::vector<double>>& PartialOf(Bucket& bucket);
  void Collect(Bucket& bucket);
  void Unpick(Bucket& bucket, std::vector<double> d_table, std::vector<std::vector<double>>& d_message,
              std::vector<double>& leak_struck);

  std::vector<OrNode> nodes_;
  double most_entries_;
  // Variables: decided ones first by node, then gathering ones.
  std::vector<int> decided_, gathering_;  // by node; -1 if none
  std::vector<int> node_of_;              // by variable
  std::vector<char> is_gathering_;        // by variable
  std::vector<std::pair<int, int>> edges_;
  std::vector<int> waits_for_;  // by variable
  Elimination elimination_;
  std::vector<Bucket> buckets_;                         // in elimination order
  std::vector<int> weighed_at_;                         // by node: bucket
  std::vector<double> weight_absent_, weight_present_;  // by node, of the question at hand
  double logp_total_ = 0;
  bool improved_ = false;
  bool keeps_partial_ = true;
  // Where they are not kept: those of the bucket that was collected last.
  std::vector<std::vector<double>> partial_;
  std::vector<double> scratch_;  // of the joins
};

}  // namespace gearwhy
