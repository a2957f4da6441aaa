#include "engine/explain/exactness.h"

#include <algorithm>

#include "engine/belief/compiled_network.h"
#include "engine/belief/worlds.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// `network`: of one world.
std::vector<int> ReportsThatMeet(const Network& network, const BeliefLimits& limits) {
  const CompiledNetwork compiled(network, limits, {});
  const std::vector<int>& widest = compiled.widest();
  const auto meets = [&](int event) { return std::binary_search(widest.begin(), widest.end(), event); };
  std::vector<std::pair<int, int>> by_meeting;  // minus how many meet, report
  for (std::size_t r = 0; r < network.reports.size(); ++r) {
    const int event = network.reports[r].event;
    int meeting = meets(event);
    for (const Cause& cause : network.events[At(event)].causes) meeting += meets(cause.event);
    by_meeting.emplace_back(-meeting, static_cast<int>(r));
  }
  std::sort(by_meeting.begin(), by_meeting.end());
  std::vector<int> reports;
  for (const auto& [minus_meeting, report] : by_meeting) {
    if (minus_meeting < 0 && reports.size() < kMostToSettle) reports.push_back(report);
  }
  return reports;
}

}  // namespace

Exactness ExactnessOf(const Diagnosis& diagnosis) {
  Exactness exactness;
  exactness.error = std::min(1.0, diagnosis.chances.error + diagnosis.firm_error);
  exactness.exact = diagnosis.chances.exact && diagnosis.firm_error <= kRoundedAway;
  if (!exactness.exact) exactness.firm = diagnosis.firm;
  const Network& network = diagnosis.ground.network;
  if (!exactness.IsKnown()) {
    const auto likeliest = At(diagnosis.likeliest.front());
    exactness.settle_first =
        ReportsThatMeet(network.worlds.empty() ? network : InWorld(network, likeliest), diagnosis.limits);
  }
  return exactness;
}

}  // namespace gearwhy
