#include "engine/belief/or_tables.h"

#include <utility>

namespace gearwhy {

OrJoin::OrJoin(std::vector<Meeting> meeting) : meeting_(std::move(meeting)) {
  for (const Meeting m : meeting_) {
    small_bits_ += m != Meeting::kAlone;
    cost_ *= m == Meeting::kGathering ? 3 : 2;
  }
  scratch_.resize(2 * large_size());  // 1/2 + 1/4 + ... of a table for each level
}

void OrJoin::Join(const double* large, const double* small, double* out) {
  JoinBits(large, small, out, static_cast<int>(meeting_.size()) - 1, small_bits_ - 1, 0);
}

void OrJoin::PullLarge(const double* small, const double* d_out, double* d_large) {
  PullLargeBits(small, d_out, d_large, static_cast<int>(meeting_.size()) - 1, small_bits_ - 1, 0);
}

void OrJoin::PullSmall(const double* large, const double* d_out, double* d_small) {
  PullSmallBits(large, d_out, d_small, static_cast<int>(meeting_.size()) - 1, small_bits_ - 1, 0);
}

void OrJoin::JoinBits(const double* large, const double* small, double* out, int bit, int small_bit,
                      std::size_t scratch) {
  if (small_bit < 0) {  // the smaller table is down to a number
    const std::size_t size = std::size_t{1} << (bit + 1);
    const double factor = *small;
    for (std::size_t i = 0; i < size; ++i) out[i] += large[i] * factor;
    return;
  }
  const std::size_t half = std::size_t{1} << bit;
  const std::size_t small_half = std::size_t{1} << small_bit;
  switch (meeting_[static_cast<std::size_t>(bit)]) {
    case Meeting::kAlone:
      JoinBits(large, small, out, bit - 1, small_bit, scratch);
      JoinBits(large + half, small, out + half, bit - 1, small_bit, scratch);
      break;
    case Meeting::kDecided:
      JoinBits(large, small, out, bit - 1, small_bit - 1, scratch);
      JoinBits(large + half, small + small_half, out + half, bit - 1, small_bit - 1, scratch);
      break;
    case Meeting::kGathering: {
      double* either = scratch_.data() + scratch;
      for (std::size_t i = 0; i < half; ++i) either[i] = large[i] + large[half + i];
      JoinBits(large, small, out, bit - 1, small_bit - 1, scratch + half);
      JoinBits(large + half, small, out + half, bit - 1, small_bit - 1, scratch + half);
      JoinBits(either, small + small_half, out + half, bit - 1, small_bit - 1, scratch + half);
      break;
    }
  }
}

void OrJoin::PullLargeBits(const double* small, const double* d_out, double* d_large, int bit, int small_bit,
                           std::size_t scratch) {
  if (small_bit < 0) {
    const std::size_t size = std::size_t{1} << (bit + 1);
    const double factor = *small;
    for (std::size_t i = 0; i < size; ++i) d_large[i] += d_out[i] * factor;
    return;
  }
  const std::size_t half = std::size_t{1} << bit;
  const std::size_t small_half = std::size_t{1} << small_bit;
  switch (meeting_[static_cast<std::size_t>(bit)]) {
    case Meeting::kAlone:
      PullLargeBits(small, d_out, d_large, bit - 1, small_bit, scratch);
      PullLargeBits(small, d_out + half, d_large + half, bit - 1, small_bit, scratch);
      break;
    case Meeting::kDecided:
      PullLargeBits(small, d_out, d_large, bit - 1, small_bit - 1, scratch);
      PullLargeBits(small + small_half, d_out + half, d_large + half, bit - 1, small_bit - 1, scratch);
      break;
    case Meeting::kGathering: {
      double* either = scratch_.data() + scratch;
      for (std::size_t i = 0; i < small_half; ++i) either[i] = small[i] + small[small_half + i];
      PullLargeBits(small, d_out, d_large, bit - 1, small_bit - 1, scratch + small_half);
      PullLargeBits(small + small_half, d_out + half, d_large, bit - 1, small_bit - 1, scratch + small_half);
      PullLargeBits(either, d_out + half, d_large + half, bit - 1, small_bit - 1, scratch + small_half);
      break;
    }
  }
}

void OrJoin::PullSmallBits(const double* large, const double* d_out, double* d_small, int bit, int small_bit,
                           std::size_t scratch) {
  if (small_bit < 0) {
    const std::size_t size = std::size_t{1} << (bit + 1);
    double sum = 0;
    for (std::size_t i = 0; i < size; ++i) sum += large[i] * d_out[i];
    *d_small += sum;
    return;
  }
  const std::size_t half = std::size_t{1} << bit;
  const std::size_t small_half = std::size_t{1} << small_bit;
  switch (meeting_[static_cast<std::size_t>(bit)]) {
    case Meeting::kAlone:
      PullSmallBits(large, d_out, d_small, bit - 1, small_bit, scratch);
      PullSmallBits(large + half, d_out + half, d_small, bit - 1, small_bit, scratch);
      break;
    case Meeting::kDecided:
      PullSmallBits(large, d_out, d_small, bit - 1, small_bit - 1, scratch);
      PullSmallBits(large + half, d_out + half, d_small + small_half, bit - 1, small_bit - 1, scratch);
      break;
    case Meeting::kGathering: {
      double* either = scratch_.data() + scratch;
      for (std::size_t i = 0; i < half; ++i) either[i] = large[i] + large[half + i];
      PullSmallBits(large, d_out, d_small, bit - 1, small_bit - 1, scratch + half);
      PullSmallBits(large + half, d_out + half, d_small, bit - 1, small_bit - 1, scratch + half);
      PullSmallBits(either, d_out + half, d_small + small_half, bit - 1, small_bit - 1, scratch + half);
      break;
    }
  }
}

}  // namespace gearwhy
