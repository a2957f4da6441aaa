#include "engine/bench/reading.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "engine/model/policy.h"

namespace gearwhy {
namespace {

double Mean(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

// The standard deviation of the readings; 0 for a single one.
double SpreadOf(const std::vector<double>& values, double mean) {
  if (values.size() < 2) return 0;
  double squares = 0;
  for (const double value : values) squares += (value - mean) * (value - mean);
  return std::sqrt(squares / static_cast<double>(values.size() - 1));
}

}  // namespace

Measured MeasuredBy(const Instrument& instrument, const std::vector<double>& values) {
  // Sorted, so that their order changes not even the last digit.
  std::vector<double> sorted = values;
  std::sort(sorted.begin(), sorted.end());
  const auto n = static_cast<double>(sorted.size());
  const double mean = Mean(sorted);
  const double spread = SpreadOf(sorted, mean);
  const double of_step = instrument.step * instrument.step / 12;
  double repeats = instrument.repeats;
  if (sorted.size() >= kEnoughForSpread) repeats = std::max(repeats, spread);
  Measured measured;
  measured.value = mean;
  measured.u = std::sqrt(repeats * repeats / n + of_step + instrument.bias * instrument.bias);
  measured.uneven =
      spread > kUnevenFrom * std::sqrt(instrument.repeats * instrument.repeats + of_step) * (1 + 1e-12);
  return measured;
}

Together MeasuredTogether(const std::vector<Measured>& several) {
  Together together;
  if (several.size() == 1) {
    together.measured = several.front();
    return together;
  }
  std::vector<Measured> sorted = several;
  std::sort(sorted.begin(), sorted.end(), [](const Measured& a, const Measured& b) {
    return a.value != b.value ? a.value < b.value : a.u < b.u;
  });
  double weight = 0, sum = 0;
  for (const Measured& one : sorted) {
    weight += 1 / (one.u * one.u);
    sum += one.value / (one.u * one.u);
    together.measured.uneven |= one.uneven;
  }
  together.measured.value = sum / weight;
  double chi2 = 0;
  for (const Measured& one : sorted) {
    const double off = (one.value - together.measured.value) / one.u;
    chi2 += off * off;
    for (const Measured& other : sorted)
      together.contradict |= std::abs(one.value - other.value) > kContradictFrom * std::hypot(one.u, other.u);
  }
  const double growth = std::sqrt(chi2 / static_cast<double>(sorted.size() - 1));
  together.measured.u = std::max(1.0, growth) / std::sqrt(weight);
  return together;
}

}  // namespace gearwhy
