// Number table: whole numbers found by a hash of what they stand for.
//
// In: numbers from 0, each with a hash. Out: the number that has a hash and is the one looked for. What a number
// stands for, the owner of the table keeps, and says whether it is the one. Nothing is ever taken out.
// Method. Open addressing with linear probing, at most three quarters full; the hashes are kept, so that growing
// asks the owner nothing. Source: Knuth, The Art of Computer Programming, 6.4 - from memory.
// Cost: 8 bytes for each place. Threads: any number may look up while nobody adds.
// Private to engine/chain.
#pragma once

#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

namespace gearwhy {

// Numbers mixed into one hash: multiplied by the golden ratio in 64 bits (Knuth, 6.4 - from memory), the
// upper half folded down.
class NumberHash {
 public:
  NumberHash& Mix(std::uint64_t number) {
    hash_ = (hash_ ^ number) * 0x9E3779B97F4A7C15ULL;
    hash_ ^= hash_ >> 32;
    return *this;
  }
  std::uint32_t Get() const { return static_cast<std::uint32_t>(hash_); }

 private:
  std::uint64_t hash_ = 0x243F6A8885A308D3ULL;  // any but 0
};

class NumberTable {
 public:
  // -1 when there is none. `is_it` is asked of numbers with this hash.
  template <typename IsIt>
  int Find(std::uint32_t hash, IsIt is_it) const {
    if (places_.empty()) return -1;
    for (std::size_t at = hash & Mask();; at = (at + 1) & Mask()) {
      const Place& place = places_[at];
      if (place.number < 0 || (place.hash == hash && is_it(place.number))) return place.number;
    }
  }
  // The number must not be there yet.
  void Add(std::uint32_t hash, int number) {
    if (4 * (size_ + 1) > 3 * places_.size()) Grow();
    ++size_;
    Put({hash, number});
  }

 private:
  struct Place {
    std::uint32_t hash = 0;
    int number = -1;
  };
  std::size_t Mask() const { return places_.size() - 1; }
  void Put(const Place& place) {
    std::size_t at = place.hash & Mask();
    while (places_[at].number >= 0) at = (at + 1) & Mask();
    places_[at] = place;
  }
  void Grow() {
    const std::vector<Place> before =
        std::exchange(places_, std::vector<Place>(places_.empty() ? 64 : 2 * places_.size()));
    for (const Place& place : before) {
      if (place.number >= 0) Put(place);
    }
  }

  std::vector<Place> places_;  // none, or a power of two
  std::size_t size_ = 0;
};

}  // namespace gearwhy
