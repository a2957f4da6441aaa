// At: a whole number that is no error, as an index. Events, reports and facts are numbered by int, with -1
// for none.
#pragma once

#include <cassert>
#include <cstddef>

namespace gearwhy {

inline std::size_t At(int index) {
  assert(index >= 0);
  return static_cast<std::size_t>(index);
}

}  // namespace gearwhy
