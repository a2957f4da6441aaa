// Lets libFuzzer mutate by lines and words (mutate.h) as often as by bytes.
#include <cstring>

#include "tests/fuzz/mutate.h"
#include "tests/fuzz/target.h"

extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t max_size);

namespace {

std::size_t PutBack(const std::string& text, std::uint8_t* data, std::size_t max_size) {
  const std::size_t size = std::min(text.size(), max_size);
  std::memcpy(data, text.data(), size);
  return size;
}

}  // namespace

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t max_size,
                                               unsigned seed) {
  using namespace gearwhy;
  Mutator mutator(seed);
  if (mutator.Below(2) == 0) return LLVMFuzzerMutate(data, size, max_size);
  const std::string text = TextOf(data, size);
  return PutBack(mutator.Mutate(text, text), data, max_size);
}

extern "C" std::size_t LLVMFuzzerCustomCrossOver(const std::uint8_t* data, std::size_t size,
                                                 const std::uint8_t* other, std::size_t other_size,
                                                 std::uint8_t* out, std::size_t max_size, unsigned seed) {
  using namespace gearwhy;
  return PutBack(Mutator(seed).Mutate(TextOf(data, size), TextOf(other, other_size)), out, max_size);
}
