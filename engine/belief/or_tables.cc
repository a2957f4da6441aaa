#include "engine/belief/or_tables.h"

#include <algorithm>
#include <array>
#include <utility>

#include "engine/text/at.h"

namespace gearwhy {
namespace {

std::size_t Half(int bit) { return std::size_t{1} << bit; }

// The lowest bits, where nearly all of the work is, as straight code: one instance for every way in which
// three bits can meet.
constexpr int kLow = 3;

template <Meeting... Ms>
constexpr std::size_t kFirstSize = std::size_t{1} << ((Ms != Meeting::kSecond) + ... + 0);
template <Meeting... Ms>
constexpr std::size_t kSecondSize = std::size_t{1} << ((Ms != Meeting::kFirst) + ... + 0);

// The top bit first.
template <Meeting M, Meeting... Below>
inline void JoinLow(const double* first, const double* second, double* out) {
  constexpr std::size_t half = std::size_t{1} << sizeof...(Below);
  const auto below = [](const double* a, const double* b, double* o) {
    if constexpr (sizeof...(Below) == 0) {
      *o += *a * *b;
    } else {
      JoinLow<Below...>(a, b, o);
    }
  };
  const double* first_half = first + (M == Meeting::kSecond ? 0 : kFirstSize<Below...>);
  const double* second_half = second + (M == Meeting::kFirst ? 0 : kSecondSize<Below...>);
  if constexpr (M == Meeting::kGathering) {
    double either[kFirstSize<Below...>];
    for (std::size_t i = 0; i < kFirstSize<Below...>; ++i) either[i] = first[i] + first_half[i];
    below(first, second, out);
    below(first_half, second, out + half);
    below(either, second_half, out + half);
  } else {
    below(first, second, out);
    below(first_half, second_half, out + half);
  }
}

// `own` is the first table if OwnIsFirst, else the second.
template <bool OwnIsFirst, Meeting M, Meeting... Below>
inline void PullLow(const double* other, const double* d_out, double* d_own) {
  constexpr std::size_t half = std::size_t{1} << sizeof...(Below);
  constexpr std::size_t own_size = OwnIsFirst ? kFirstSize<Below...> : kSecondSize<Below...>;
  constexpr std::size_t other_size = OwnIsFirst ? kSecondSize<Below...> : kFirstSize<Below...>;
  constexpr bool own_has = M != (OwnIsFirst ? Meeting::kSecond : Meeting::kFirst);
  constexpr bool other_has = M != (OwnIsFirst ? Meeting::kFirst : Meeting::kSecond);
  const auto below = [](const double* o, const double* d, double* own) {
    if constexpr (sizeof...(Below) == 0) {
      *own += *o * *d;
    } else {
      PullLow<OwnIsFirst, Below...>(o, d, own);
    }
  };
  const double* other_half = other + (other_has ? other_size : 0);
  double* own_half = d_own + (own_has ? own_size : 0);
  if constexpr (M == Meeting::kGathering) {
    double either[other_size];
    for (std::size_t i = 0; i < other_size; ++i) either[i] = other[i] + other_half[i];
    below(other, d_out, d_own);
    below(other_half, d_out + half, d_own);
    below(either, d_out + half, own_half);
  } else {
    below(other, d_out, d_own);
    below(other_half, d_out + half, own_half);
  }
}

using JoinCode = void (*)(const double*, const double*, double*);
struct LowCode {
  JoinCode join, pull_first, pull_second;
};

template <std::size_t I>
constexpr Meeting MeetingOf(int bit) {
  return static_cast<Meeting>((I >> (2 * bit)) & 3);
}

template <std::size_t... I>
constexpr std::array<LowCode, sizeof...(I)> AllLowCodes(std::index_sequence<I...>) {
  return {{{&JoinLow<MeetingOf<I>(2), MeetingOf<I>(1), MeetingOf<I>(0)>,
            &PullLow<true, MeetingOf<I>(2), MeetingOf<I>(1), MeetingOf<I>(0)>,
            &PullLow<false, MeetingOf<I>(2), MeetingOf<I>(1), MeetingOf<I>(0)>}...}};
}
constexpr std::array<LowCode, 64> kLowCodes = AllLowCodes(std::make_index_sequence<64>());

}  // namespace

OrJoin::OrJoin(std::vector<Meeting> meeting) : meeting_(std::move(meeting)) {
  for (const Meeting m : meeting_) {
    first_bits_ += m != Meeting::kSecond;
    second_bits_ += m != Meeting::kFirst;
    cost_ *= m == Meeting::kGathering ? 3 : 2;
  }
  for (int bit = 0; bit < kLow && bit < static_cast<int>(meeting_.size()); ++bit) {
    low_ |= static_cast<std::size_t>(meeting_[At(bit)]) << (2 * bit);
  }
}

void OrJoin::Join(const double* first, const double* second, double* out, double* scratch) const {
  JoinBits(first, second, out, Top(scratch));
}

void OrJoin::PullFirst(const double* second, const double* d_out, double* d_first, double* scratch) const {
  PullBits(second, d_out, d_first, Top(scratch), true);
}

void OrJoin::PullSecond(const double* first, const double* d_out, double* d_second, double* scratch) const {
  PullBits(first, d_out, d_second, Top(scratch), false);
}

void OrJoin::JoinBits(const double* first, const double* second, double* out, Place at) const {
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
  if (at.bit == kLow - 1) {
    kLowCodes[low_].join(first, second, out);
    return;
  }
  const std::size_t half = Half(at.bit);
  const std::size_t first_half = Half(at.first_bit);
  const std::size_t second_half = Half(at.second_bit);
  switch (meeting_[At(at.bit)]) {
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
      double* either = at.scratch;
      for (std::size_t i = 0; i < first_half; ++i) either[i] = first[i] + first[first_half + i];
      const Place below{at.bit - 1, at.first_bit - 1, at.second_bit - 1, at.scratch + first_half};
      JoinBits(first, second, out, below);
      JoinBits(first + first_half, second, out + half, below);
      JoinBits(either, second + second_half, out + half, below);
      break;
    }
  }
}

// `own` is the table whose derivative is wanted, `other` the one it was joined with; the OR is the same from
// either side.
void OrJoin::PullBits(const double* other, const double* d_out, double* d_own, Place at,
                      bool own_is_first) const {
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
  if (at.bit == kLow - 1) {
    (own_is_first ? kLowCodes[low_].pull_first : kLowCodes[low_].pull_second)(other, d_out, d_own);
    return;
  }
  const std::size_t half = Half(at.bit);
  const std::size_t own_half = Half(own_bit);
  const std::size_t other_half = Half(other_bit);
  const Meeting meeting = meeting_[At(at.bit)];
  Place below{at.bit - 1, at.first_bit - (meeting != Meeting::kSecond),
              at.second_bit - (meeting != Meeting::kFirst), at.scratch};
  if (meeting == Meeting::kDecided) {
    PullBits(other, d_out, d_own, below, own_is_first);
    PullBits(other + other_half, d_out + half, d_own + own_half, below, own_is_first);
  } else if (meeting == Meeting::kGathering) {
    double* either = at.scratch;
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
