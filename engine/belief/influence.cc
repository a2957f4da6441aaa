// Influence: how much each report moves the odds of each event, by solving the network once without each.
// The tree without a report holds the same events as the one with it, so that every ratio is of two exact
// chances. A doubtful report is taken back on the same tree, by weighing its event with the inverse; only a
// certain one has shaped the tree and needs another.
#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/belief/approximate.h"
#include "engine/belief/chances.h"
#include "engine/belief/compiled_network.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kNotComputed = std::numeric_limits<double>::quiet_NaN();

double OddsFactor(double p_with, double p_without) {
  if (p_with == p_without) return 1;  // also both 0 or both 1
  return p_with / (1 - p_with) / (p_without / (1 - p_without));
}

// The chances of `events` given the reports of `network`; others may be computed or not.
std::vector<double> ChancesOf(const Network& network, const std::vector<int>& events,
                              const BeliefLimits& limits, bool* possible, bool* exact) {
  CompiledNetwork::Options options;
  options.targets = events;
  CompiledNetwork compiled(network, limits, options);
  if (!compiled.Build()) {
    BeliefLimits these = limits;
    these.also = events;
    Chances chances = ComputeChances(network, these);
    *possible = chances.possible;
    if (chances.exact) return chances.p_event;
    *exact = false;
    // Never drawn is not impossible, and always drawn is not certain: nearer to 0 or 1 than the error nothing
    // is told apart.
    const double least = std::clamp(chances.error, 0.5 / limits.samples, 0.5);
    for (double& p : chances.p_event) p = std::clamp(p, least, 1 - least);
    return chances.p_event;
  }
  std::vector<double> p_event(network.events.size(), kNotComputed);
  std::vector<double> p_by_itself = p_event;
  *possible = std::isfinite(compiled.Solve({}, true, &p_event, &p_by_itself));
  return p_event;
}

// Where the reports are too wide for any tree: one set of samples serves with and without each report, which
// keeps their noise out of the ratio. A certain report left nothing to be drawn without it: its factor is not
// worked out. Nearer to 0 or 1 than the error no chances are told apart.
void FromSamples(const Ancestry& ancestry, const BeliefLimits& limits, Influence* influence) {
  const Network& part = ancestry.network;
  const Samples samples = DrawSamples(part, limits);
  influence->exact = false;
  if (!std::isfinite(samples.logp_reports)) return;
  const size_t draws = samples.weight.size();
  const auto chance = [&](size_t event, const std::vector<double>& weight, double total) {
    double present = 0;
    double squares = 0;
    for (size_t d = 0; d < draws; ++d) {
      if (samples.present[event][d]) present += weight[d];
    }
    const double p = present / total;
    for (size_t d = 0; d < draws; ++d) {
      const double off = weight[d] / total * ((samples.present[event][d] ? 1 : 0) - p);
      squares += off * off;
    }
    const double error =
        std::clamp(1.96 * std::sqrt(squares) + samples.largest_weight, 0.5 / limits.samples, 0.5);
    return std::clamp(p, error, 1 - error);
  };
  std::vector<double> p_with;
  for (size_t i = 0; i < part.events.size(); ++i) p_with.push_back(chance(i, samples.weight, 1));
  for (size_t k = 0; k < part.reports.size(); ++k) {
    const Report& report = part.reports[k];
    if (report.p_if_present <= 0 || report.p_if_absent <= 0) continue;
    std::vector<double> weight = samples.weight;
    double total = 0;
    for (size_t d = 0; d < draws; ++d) {
      weight[d] /= samples.present[At(report.event)][d] ? report.p_if_present : report.p_if_absent;
      total += weight[d];
    }
    for (size_t i = 0; i < part.events.size(); ++i) {
      influence->odds_factor[k][At(ancestry.kept[i])] = OddsFactor(p_with[i], chance(i, weight, total));
    }
  }
}

}  // namespace

Influence ComputeInfluence(const Network& network, const BeliefLimits& limits) {
  const Ancestry ancestry = AncestorsOfReports(network);
  const Network& part = ancestry.network;
  std::vector<int> events(part.events.size());
  for (size_t i = 0; i < events.size(); ++i) events[i] = static_cast<int>(i);

  Influence influence;
  influence.odds_factor.assign(network.reports.size(), std::vector<double>(network.events.size(), 1.0));
  CompiledNetwork::Options options;
  options.targets = events;
  for (const Report& report : part.reports) options.asked.push_back(report.event);
  CompiledNetwork compiled(part, limits, options);
  if (!compiled.Build() && !CompiledNetwork(part, limits, {}).fits()) {
    FromSamples(ancestry, limits, &influence);
    return influence;
  }
  const auto can_take_back = [&](const Report& report) {
    return compiled.fits() && compiled.place(report.event) == CompiledNetwork::Place::kVariable &&
           report.p_if_absent > 0 && report.p_if_present > 0;
  };

  bool possible = true;
  const std::vector<double> p_with = ChancesOf(part, events, limits, &possible, &influence.exact);
  if (!possible) return influence;
  std::vector<double> p_without(part.events.size(), kNotComputed);
  std::vector<double> p_by_itself = p_without;
  Network without = part;
  for (size_t k = 0; k < part.reports.size(); ++k) {
    const Report& report = part.reports[k];
    if (can_take_back(report)) {
      compiled.Solve({{report.event, 1 / report.p_if_absent, 1 / report.p_if_present}}, true, &p_without,
                     &p_by_itself);
    } else {
      without.reports = part.reports;
      without.reports.erase(without.reports.begin() + static_cast<std::ptrdiff_t>(k));
      p_without = ChancesOf(without, events, limits, &possible, &influence.exact);
    }
    for (size_t i = 0; i < events.size(); ++i) {
      influence.odds_factor[k][At(ancestry.kept[i])] = OddsFactor(p_with[i], p_without[i]);
    }
  }
  return influence;
}

}  // namespace gearwhy
