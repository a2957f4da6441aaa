// Quantile: the value below which a share of the values lies, for benchmarks.
//
// In: values in any order, a share 0..1. Out: the value at that place when they are sorted, no interpolation;
// 0 for none.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace gearwhy {

inline double Quantile(std::vector<double> values, double q) {
  if (values.empty()) return 0;
  std::sort(values.begin(), values.end());
  return values[std::min(values.size() - 1,
                         static_cast<std::size_t>(q * static_cast<double>(values.size())))];
}

}  // namespace gearwhy
