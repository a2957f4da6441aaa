// OR tables: products of tables in which some variables are not yet decided but are ORs in the making.
//
// A table runs over binary variables; bit j of an index is the value of variable j. A *decided* variable means what it says. A *gathering*
// variable is the OR of the contributions met so far: two tables that share it are joined by pairing every value of one with every value of
// the other and adding up under their OR, out(c) = sum of a(x) b(y) over x | y = c. For one bit that is
//   out(0) = a(0) b(0),   out(1) = a(1) b(0) + (a(0) + a(1)) b(1),
// three products instead of four and no difference anywhere: with non-negative tables nothing cancels.
// Cost: 3^gathering * 2^others, where both tables have all variables.
// Source: Zhang & Poole 1996, Exploiting causal independence in Bayesian network inference - from memory.
#pragma once

#include <cstddef>
#include <vector>

namespace gearwhy {

// How each variable of the larger table lies in the smaller one.
enum class Meeting : unsigned char {
  kAlone,      // not in the smaller table
  kDecided,    // in both, multiplied value by value
  kGathering,  // in both, joined by OR
};

// Joins tables of one shape again and again. `meeting[j]` speaks of bit j of the larger table; the smaller table has
// the variables that are not alone, in the same order.
class OrJoin {
 public:
  explicit OrJoin(std::vector<Meeting> meeting);

  std::size_t small_size() const { return std::size_t{1} << small_bits_; }
  std::size_t large_size() const { return std::size_t{1} << meeting_.size(); }
  // Products that one join takes.
  double cost() const { return cost_; }

  // out += large joined with small.
  void Join(const double* large, const double* small, double* out);
  // How the result hangs on each operand: given d(total)/d(out), adds d(total)/d(large), or d(total)/d(small).
  void PullLarge(const double* small, const double* d_out, double* d_large);
  void PullSmall(const double* large, const double* d_out, double* d_small);

 private:
  void JoinBits(const double* large, const double* small, double* out, int bit, int small_bit, std::size_t scratch);
  void PullLargeBits(const double* small, const double* d_out, double* d_large, int bit, int small_bit,
                     std::size_t scratch);
  void PullSmallBits(const double* large, const double* d_out, double* d_small, int bit, int small_bit,
                     std::size_t scratch);

  std::vector<Meeting> meeting_;
  int small_bits_ = 0;
  double cost_ = 1;
  std::vector<double> scratch_;  // sums of halves, one level behind the other
};

}  // namespace gearwhy
