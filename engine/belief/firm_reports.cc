#include "engine/belief/firm_reports.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>

#include "engine/belief/compiled_network.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// Of each of these reports, the logarithm of the chance of all others; NaN where that is too wide. `logp`: of
// all. `network`: of one world, with these for certain.
std::vector<double> WithoutEach(const Network& network, const std::vector<int>& reports,
                                const BeliefLimits& limits, double* logp) {
  std::vector<double> without(reports.size(), std::numeric_limits<double>::quiet_NaN());
  CompiledNetwork::Options options;
  options.retractable = true;
  options.max_entries = limits.max_entries;
  for (const int index : reports) options.asked.push_back(network.reports[At(index)].event);
  CompiledNetwork tree(network, limits, options);
  *logp = -std::numeric_limits<double>::infinity();
  if (!tree.Build()) return without;
  *logp = tree.LogChance({});
  if (!std::isfinite(*logp)) return without;
  for (std::size_t i = 0; i < reports.size(); ++i) {
    if (const auto suppositions = tree.TakeBack(network.reports[At(reports[i])])) {
      without[i] = tree.LogChance(*suppositions);
      continue;
    }
    // It has shaped the tree: another without it.
    Network others = network;
    others.reports.erase(others.reports.begin() + reports[i]);
    CompiledNetwork::Options of_another;
    of_another.max_entries = limits.max_entries;
    CompiledNetwork another(others, limits, of_another);
    if (another.Build()) without[i] = another.logp_reports();
  }
  return without;
}

double ErrorOf(double sum_of_ratios) { return sum_of_ratios / (1 + sum_of_ratios); }

FirmReports FirstOf(const std::vector<GoodLook>& looks, std::size_t count) {
  FirmReports firm;
  double sum = 0;
  for (std::size_t i = 0; i < count; ++i) {
    firm.reports.push_back(looks[i].report);
    sum += looks[i].ratio;
  }
  firm.error = ErrorOf(sum);
  std::sort(firm.reports.begin(), firm.reports.end());
  return firm;
}

// So many that together they are no further off.
std::size_t MostWithin(const std::vector<GoodLook>& looks, double error) {
  std::size_t count = 0;
  for (double sum = 0; count < looks.size(); ++count) {
    sum += looks[count].ratio;
    if (ErrorOf(sum) > error) break;
  }
  return count;
}

}  // namespace

Network WithFirm(Network network, const std::vector<int>& reports) {
  for (const int index : reports) network.reports[At(index)].p_if_present = 0;
  return network;
}

std::vector<GoodLook> SurestFirst(const Network& network, const std::vector<int>& reports,
                                  const BeliefLimits& limits) {
  const Network certain = WithFirm(network, reports);
  std::vector<double> weights = network.worlds;
  if (weights.empty()) weights = {1};
  double all = 0;
  std::vector<double> without(reports.size(), 0);
  std::optional<double> largest;
  for (std::size_t w = 0; w < weights.size(); ++w) {
    if (weights[w] <= 0) continue;
    double logp = 0;
    const std::vector<double> each =
        WithoutEach(network.worlds.empty() ? certain : InWorld(certain, w), reports, limits, &logp);
    if (!std::isfinite(logp)) continue;
    if (!largest) largest = logp;
    all += weights[w] * std::exp(logp - *largest);
    for (std::size_t i = 0; i < each.size(); ++i) without[i] += weights[w] * std::exp(each[i] - *largest);
  }
  std::vector<GoodLook> looks;
  for (std::size_t i = 0; i < reports.size() && all > 0; ++i) {
    const Report& report = network.reports[At(reports[i])];
    const double p_absent = std::min(1.0, all / (without[i] * report.p_if_absent));
    const double ratio = report.p_if_present * (1 - p_absent) / (report.p_if_absent * p_absent);
    if (std::isfinite(ratio)) looks.push_back({ratio, reports[i]});
  }
  std::stable_sort(looks.begin(), looks.end(),
                   [](const GoodLook& a, const GoodLook& b) { return a.ratio < b.ratio; });
  return looks;
}

FirmReports TakeForCertain(const Network& network, const std::vector<GoodLook>& looks,
                           const BeliefLimits& limits, const std::vector<double>& errors) {
  std::size_t tried = 0;
  for (const double error : errors) {
    const std::size_t count = MostWithin(looks, error);
    if (count == std::exchange(tried, count)) continue;
    FirmReports firm = FirstOf(looks, count);
    firm.chances = ComputeChances(WithFirm(network, firm.reports), limits);
    if (firm.chances.exact && firm.chances.possible) return firm;
  }
  return {};
}

}  // namespace gearwhy
