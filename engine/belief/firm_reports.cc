#include "engine/belief/firm_reports.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "engine/belief/compiled_network.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// One look that may have overlooked something.
struct GoodLook {
  double ratio = 0;  // how likely it is that it alone has, against that none has
  int report = 0;
};

// Of each of these reports, the logarithm of the chance of all others; NaN where that is too wide. `logp`: of
// all. `network`: of one world, with these for certain.
std::vector<double> WithoutEach(const Network& network, const std::vector<int>& reports,
                                const BeliefLimits& limits, double* logp) {
  std::vector<double> without(reports.size(), std::numeric_limits<double>::quiet_NaN());
  CompiledNetwork::Options options;
  options.retractable = true;
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
    CompiledNetwork another(others, limits, {});
    if (another.Build()) without[i] = another.logp_reports();
  }
  return without;
}

// The looks, those first that are least likely to have overlooked anything. Nothing where even with all of
// them for certain the network is too wide, or impossible.
std::vector<GoodLook> LooksOf(const Network& network, const std::vector<int>& reports,
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

FirmReports FirstOf(const std::vector<GoodLook>& looks, std::size_t count) {
  FirmReports firm;
  double sum = 0;
  for (std::size_t i = 0; i < count; ++i) {
    firm.reports.push_back(looks[i].report);
    sum += looks[i].ratio;
  }
  firm.error = sum / (1 + sum);
  std::sort(firm.reports.begin(), firm.reports.end());
  return firm;
}

}  // namespace

Network WithFirm(Network network, const std::vector<int>& reports) {
  for (const int index : reports) network.reports[At(index)].p_if_present = 0;
  return network;
}

namespace {

// Whether the network is no larger than that with these for certain.
bool IsNarrow(const Network& network, const FirmReports& firm, double max_entries,
              const BeliefLimits& limits) {
  const Network certain = WithFirm(network, firm.reports);
  CompiledNetwork::Options options;
  options.max_entries = max_entries;
  for (std::size_t w = 0; w < certain.worlds.size(); ++w) {
    if (certain.worlds[w] > 0 && !CompiledNetwork(InWorld(certain, w), limits, options).fits()) return false;
  }
  return !certain.worlds.empty() || CompiledNetwork(certain, limits, options).fits();
}

// As few as are enough; all of them where even these leave it larger.
std::size_t FewestThatServe(const Network& network, const std::vector<GoodLook>& looks, double max_entries,
                            const BeliefLimits& limits) {
  std::size_t too_few = 0, enough = looks.size();
  while (enough - too_few > 1) {
    const std::size_t count = (too_few + enough) / 2;
    (IsNarrow(network, FirstOf(looks, count), max_entries, limits) ? enough : too_few) = count;
  }
  return enough;
}

}  // namespace

FirmReports TakeSomeForCertain(const Network& network, const std::vector<int>& may_be,
                               const BeliefLimits& limits, double most) {
  const std::vector<GoodLook> looks = LooksOf(network, may_be, limits);
  if (looks.empty()) return {};
  // What is soon solved first, then whatever can be.
  for (const double max_entries : {kSoonSolved, CompiledNetwork::Options().max_entries}) {
    FirmReports firm = FirstOf(looks, FewestThatServe(network, looks, max_entries, limits));
    if (firm.error > most) continue;
    firm.chances = ComputeChances(WithFirm(network, firm.reports), limits);
    if (firm.chances.exact && firm.chances.possible) return firm;
  }
  return {};
}

}  // namespace gearwhy
