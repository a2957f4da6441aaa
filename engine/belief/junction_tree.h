// Junction tree: sums a product of small non-negative factors over binary variables, and draws from it.
//
// In: variables 0..n-1, factors over at most three of them, an elimination order.
// Out: the logarithm of the total; draws of all variables.
// Method. One bucket a variable: its clique is itself and the neighbours it has when it is eliminated. A
// bucket's message is its table with the variable summed out, multiplied into the bucket of the neighbour
// eliminated next. A draw goes back from the last bucket to the first. Every number is non-negative, so there
// is no cancellation; every message is scaled to a largest entry of 1 with the logarithm kept aside, so there
// is no underflow. A clique's variables are ordered by elimination, the last eliminated in bit 0: the
// bucket's own variable is the top bit and is summed out by adding the table's halves, and the low bits of a
// separator and of its parent's clique mostly agree, so the loops are long and plain.
// Cost: the sum over cliques of 2^variables.
// Source: Lauritzen & Spiegelhalter 1988; Dechter 1999 (bucket elimination) - from memory.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "engine/belief/elimination.h"
#include "engine/text/at.h"

namespace gearwhy {

struct Factor {
  int size = 0;                    // 0 to 3
  std::array<int, 3> variables{};  // distinct
  std::array<double, 8> values{};  // bit j of the index is the value of variables[j]
};

// `factors` need not outlive the constructor. Immutable: any number of threads may draw at once.
class JunctionTree {
 public:
  JunctionTree(const std::vector<Factor>& factors, const Elimination& elimination);

  double logp_total() const { return logp_total_; }

  // A draw from the distribution proportional to the product. `uniform` gives numbers in [0, 1). The total
  // must not be 0.
  template <typename Uniform>
  void Sample(Uniform uniform, std::vector<char>* value) const;

 private:
  // How a bucket's separator lies in its parent's table: entry `block * run + j` of the parent meets entry
  // `base[block] + j` of the separator.
  struct Projection {
    size_t run = 1;
    std::vector<uint32_t> base;
  };
  struct Bucket {
    int variable = 0;
    int parent = -1;         // bucket, always a later one; -1 for a root
    size_t table = 0;        // where its table starts
    size_t message = 0;      // where its message starts
    size_t half = 1;         // entries of the message: half of the table's
    std::vector<int> later;  // the separator's variables, bit 0 first
    Projection in_parent;
  };

  // Returns how many entries the messages take, one behind the other.
  size_t LayOut(const Elimination& elimination);
  void Take(const Factor& factor);
  Projection Project(const Bucket& into, const std::vector<int>& variables_bit0_first) const;
  static void Multiply(const Projection& projection, const double* message, double* table);
  static double SendMessage(const Bucket& bucket, const double* table, double* message);

  std::vector<Bucket> buckets_;  // in elimination order
  std::vector<int> bucket_of_;   // by variable
  std::vector<double> tables_;   // collected: the factors times the children's messages
  double logp_total_ = 0;
};

template <typename Uniform>
void JunctionTree::Sample(Uniform uniform, std::vector<char>* value) const {
  value->assign(buckets_.size(), 0);
  for (size_t i = buckets_.size(); i-- > 0;) {
    const Bucket& bucket = buckets_[i];
    size_t index = 0;
    for (size_t j = 0; j < bucket.later.size(); ++j) {
      if ((*value)[At(bucket.later[j])]) index |= size_t{1} << j;
    }
    const double absent = tables_[bucket.table + index];
    const double present = tables_[bucket.table + bucket.half + index];
    (*value)[At(bucket.variable)] = uniform() * (absent + present) < present;
  }
}

}  // namespace gearwhy
