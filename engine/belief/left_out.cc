#include "engine/belief/left_out.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>

#include "engine/belief/compiled_network.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kLeastSaid = 0.05;  // of a logarithm: less is nothing

// By event of which something is reported: how far its reports move the odds.
std::map<int, double> SaidOf(const Network& network) {
  std::map<int, double> said;
  for (const Report& report : network.reports) {
    if (!report.left_out) said[report.event] += std::log(report.p_if_present / report.p_if_absent);
  }
  for (auto& [event, logarithm] : said) logarithm = std::max(std::abs(logarithm), kLeastSaid);
  return said;
}

// By event: whether anything that bears on a report is caused by it.
std::vector<char> CausesSomething(const Network& network) {
  const std::vector<char> bears = BearsOnReports(network);
  std::vector<char> causes(network.events.size(), 0);
  for (std::size_t e = 0; e < bears.size(); ++e) {
    if (bears[e] == 0) continue;
    for (const Cause& cause : network.events[e].causes) causes[At(cause.event)] = 1;
  }
  return causes;
}

// The event whose reports are to go; none where it fits. `network`: of one world.
std::optional<int> NextToGo(const Network& network, const BeliefLimits& limits) {
  CompiledNetwork::Options options;
  options.max_entries = kSoonSolved;
  const CompiledNetwork tree(network, limits, options);
  if (tree.fits()) return std::nullopt;
  const std::vector<double> entries = tree.EntriesByEvent();
  const std::vector<char> causes = CausesSomething(network);
  std::optional<int> next;
  double most = -1;
  for (const auto& [event, said] : SaidOf(network)) {
    // What something else follows from ties its causes together all the same: only where nothing else is
    // left.
    const double gain = causes[At(event)] != 0 ? 0 : entries[At(event)] / said;
    if (gain > most) {
      most = gain;
      next = event;
    }
  }
  return next;
}

}  // namespace

Network WithLeftOut(Network network, const std::vector<int>& reports) {
  for (const int index : reports) network.reports[At(index)].left_out = true;
  return network;
}

std::vector<int> ReportsToLeaveOut(const Network& network, const BeliefLimits& limits) {
  Network rest = network;
  std::vector<int> left_out;
  const std::size_t worlds = std::max<std::size_t>(1, network.worlds.size());
  for (std::size_t w = 0; w < worlds; ++w) {
    if (!network.worlds.empty() && network.worlds[w] <= 0) continue;
    while (const auto event = NextToGo(network.worlds.empty() ? rest : InWorld(rest, w), limits)) {
      for (std::size_t r = 0; r < rest.reports.size(); ++r) {
        if (rest.reports[r].event != *event || rest.reports[r].left_out) continue;
        rest.reports[r].left_out = true;
        left_out.push_back(static_cast<int>(r));
      }
    }
  }
  std::sort(left_out.begin(), left_out.end());
  return left_out;
}

}  // namespace gearwhy
