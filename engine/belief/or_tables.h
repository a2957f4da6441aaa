// OR tables: products of tables in which some variables are not yet decided but are ORs in the making.
//
// A table runs over binary variables; bit j of an index is the value of its variable j. A *decided* variable
// means what it says. A *gathering* variable is the OR of the contributions met so far: two tables that share
// it are joined by pairing every value of one with every value of the other and adding up under their OR,
// out(c) = sum of a(x) b(y) over x | y = c. For one bit that is
//   out(0) = a(0) b(0),   out(1) = a(1) b(0) + (a(0) + a(1)) b(1),
// three products instead of four and no difference anywhere: with non-negative tables nothing cancels.
// Cost: 3^(gathering variables shared) * 2^(all others).
// Source: Zhang & Poole 1996, Exploiting causal independence in Bayesian network inference - from memory.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace gearwhy {

// How a variable of the joined table lies in the two that are joined.
enum class Meeting : unsigned char {
  kFirst,      // in the first only
  kSecond,     // in the second only
  kDecided,    // in both, multiplied value by value
  kGathering,  // in both, joined by OR
};

// Joins tables of two shapes again and again. `meeting[j]` speaks of bit j of the joined table; both tables
// have their variables in the same order as it.
class OrJoin {
 public:
  explicit OrJoin(std::vector<Meeting> meeting);

  std::size_t first_size() const { return std::size_t{1} << first_bits_; }
  std::size_t second_size() const { return std::size_t{1} << second_bits_; }
  std::size_t joined_size() const { return std::size_t{1} << meeting_.size(); }
  double cost() const { return cost_; }  // products

  // Numbers of scratch space that each of the following needs.
  std::size_t scratch_size() const { return 2 * std::max(first_size(), second_size()); }
  // out += first joined with second.
  void Join(const double* first, const double* second, double* out, double* scratch) const;
  // How a total hangs on either table: given d(total)/d(out), adds d(total)/d(first), or d(total)/d(second).
  void PullFirst(const double* second, const double* d_out, double* d_first, double* scratch) const;
  void PullSecond(const double* first, const double* d_out, double* d_second, double* scratch) const;

 private:
  struct Place {
    int bit, first_bit, second_bit;  // the top bits still to do; -1: none
    double* scratch;                 // for sums of halves, one level behind the other
  };
  void JoinBits(const double* first, const double* second, double* out, Place at) const;
  void PullBits(const double* other, const double* d_out, double* d_own, Place at, bool own_is_first) const;
  Place Top(double* scratch) const {
    return {static_cast<int>(meeting_.size()) - 1, first_bits_ - 1, second_bits_ - 1, scratch};
  }

  std::vector<Meeting> meeting_;
  int first_bits_ = 0;
  int second_bits_ = 0;
  double cost_ = 1;
  std::size_t low_ = 0;  // how the lowest bits meet
};

}  // namespace gearwhy
