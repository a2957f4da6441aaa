#include "engine/belief/or_tables.h"

#include <algorithm>
#include <utility>

namespace gearwhy {
namespace {

std::size_t Half(int bit) { return std::size_t{1} << bit; }

}  // namespace

OrJoin::OrJoin(std::vector<Meeting> meeting) : meeting_(std::move(meeting)) {
  for (const Meeting m : meeting_) {
    first_bits_ += m != Meeting::kSecond;
    second_bits_ += m != Meeting::kFirst;
    cost_ *= m == Meeting::kGathering ? 3 : 2;
  }
  scratch_.resize(2 * std::max(first_size(), second_size()));  // 1/2 + 1/4 + ... of a table, level by level
}

void OrJoin::Join(const double* first, const double* second, double* out) {
  JoinBits(first, second, out, {static_cast<int>(meeting_.size()) - 1, first_bits_ - 1, second_bits_ - 1, 0});
}

void OrJoin::PullFirst(const double* second, const double* d_out, double* d_first) {
  PullBits(second, d_out, d_first, {static_cast<int>(meeting_.size()) - 1, first_bits_ - 1, second_bits_ - 1, 0}, true);
}

void OrJoin::PullSecond(const double* first, const double* d_out, double* d_second) {
  PullBits(first, d_out, d_second, {static_cast<int>(meeting_.size()) - 1, first_bits_ - 1, second_bits_ - 1, 0}, false);
}

void OrJoin::JoinBits(const double* first, const double* second, double* out, Place at) {
  if (at.second_bit < 0) {  // the second is down to a number
    const std::size_t size = std::size_t{1} << (at.bit + 1);
    const double factor = *second;
    for (std::size_t i = 0; i < size; ++i) out[i] += first[i] * factor;
    return;
  }
  if (at.first_bit < 0) {
    const std::size_t size = std::size_t{1} << (at.bit + 1);
    const double factor = *first;
    for (std::size_t i = 0; i < size; ++i) out[i] += second[i] * factor;
    return;
  }
  const std::size_t half = Half(at.bit);
  const std::size_t first_half = Half(at.first_bit);
  const std::size_t second_half = Half(at.second_bit);
  switch (meeting_[static_cast<std::size_t>(at.bit)]) {
    case Meeting::kFirst: {
      const Place below{at.bit - 1, at.first_bit - 1, at.second_bit, at.scratch};
      JoinBits(first, second, out, below);
      JoinBits(first + first_half, second, out + half, below);
      break;
    }
    case Meeting::kSecond: {
      const Place below{at.bit - 1, at.first_bit, at.second_bit - 1, at.scratch};
      JoinBits(first, second, out, below);
      JoinBits(first, second + second_half, out + half, below);
      break;
    }
    case Meeting::kDecided: {
      const Place below{at.bit - 1, at.first_bit - 1, at.second_bit - 1, at.scratch};
      JoinBits(first, second, out, below);
      JoinBits(first + first_half, second + second_half, out + half, below);
      break;
    }
    case Meeting::kGathering: {
      if (at.bit == 0) {
        out[0] += first[0] * second[0];
        out[1] += first[1] * second[0] + (first[0] + first[1]) * second[1];
        break;
      }
      double* either = scratch_.data() + at.scratch;
      for (std::size_t i = 0; i < first_half; ++i) either[i] = first[i] + first[first_half + i];
      const Place below{at.bit - 1, at.first_bit - 1, at.second_bit - 1, at.scratch + first_half};
      JoinBits(first, second, out, below);
      JoinBits(first + first_half, second, out + half, below);
      JoinBits(either, second + second_half, out + half, below);
      break;
    }
  }
}

// `own` is the table whose derivative is wanted, `other` the one it was joined with; the OR is the same from either side.
void OrJoin::PullBits(const double* other, const double* d_out, double* d_own, Place at, bool own_is_first) {
  const int own_bit = own_is_first ? at.first_bit : at.second_bit;
  const int other_bit = own_is_first ? at.second_bit : at.first_bit;
  const std::size_t size = std::size_t{1} << (at.bit + 1);
  if (other_bit < 0) {
    const double factor = *other;
    for (std::size_t i = 0; i < size; ++i) d_own[i] += d_out[i] * factor;
    return;
  }
  if (own_bit < 0) {
    double sum = 0;
    for (std::size_t i = 0; i < size; ++i) sum += other[i] * d_out[i];
    *d_own += sum;
    return;
  }
  const std::size_t half = Half(at.bit);
  const std::size_t own_half = Half(own_bit);
  const std::size_t other_half = Half(other_bit);
  const Meeting meeting = meeting_[static_cast<std::size_t>(at.bit)];
  Place below{at.bit - 1, at.first_bit - (meeting != Meeting::kSecond), at.second_bit - (meeting != Meeting::kFirst),
              at.scratch};
  if (meeting == Meeting::kDecided) {
    PullBits(other, d_out, d_own, below, own_is_first);
    PullBits(other + other_half, d_out + half, d_own + own_half, below, own_is_first);
  } else if (meeting == Meeting::kGathering) {
    if (at.bit == 0) {
      d_own[0] += d_out[0] * other[0] + d_out[1] * other[1];
      d_own[1] += d_out[1] * (other[0] + other[1]);
      return;
    }
    double* either = scratch_.data() + at.scratch;
    for (std::size_t i = 0; i < other_half; ++i) either[i] = other[i] + other[other_half + i];
    below.scratch += other_half;
    PullBits(other, d_out, d_own, below, own_is_first);
    PullBits(other + other_half, d_out + half, d_own, below, own_is_first);
    PullBits(either, d_out + half, d_own + own_half, below, own_is_first);
  } else if ((meeting == Meeting::kFirst) == own_is_first) {
    PullBits(other, d_out, d_own, below, own_is_first);
    PullBits(other, d_out + half, d_own + own_half, below, own_is_first);
  } else {
    PullBits(other, d_out, d_own, below, own_is_first);
    PullBits(other + other_half, d_out + half, d_own, below, own_is_first);
  }
}

}  // namespace gearwhy
