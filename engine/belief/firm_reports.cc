#include "engine/belief/firm_reports.h"

#include <algorithm>

#include "engine/belief/answers.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

struct Overlooked {
  double p = 0;  // that it was
  int report = 0;
};

// Of each, the chance that what it reports absent is there all the same; the least first. Nothing where even
// without all of them the network is too wide.
std::vector<Overlooked> ChancesOverlooked(const Network& network, const std::vector<int>& may_be,
                                          BeliefLimits limits) {
  std::vector<int> events;
  for (const int index : may_be) events.push_back(network.reports[At(index)].event);
  limits.also.insert(limits.also.end(), events.begin(), events.end());
  const Chances chances = ComputeChances(WithoutReportsOf(network, events), limits);
  if (!chances.exact || !chances.possible) return {};
  std::vector<Overlooked> overlooked;
  for (const int index : may_be) {
    const Report& report = network.reports[At(index)];
    const double p = chances.p_event[At(report.event)];
    const double both = report.p_if_present * p + report.p_if_absent * (1 - p);
    overlooked.push_back({both > 0 ? report.p_if_present * p / both : 1, index});
  }
  std::stable_sort(overlooked.begin(), overlooked.end(),
                   [](const Overlooked& a, const Overlooked& b) { return a.p < b.p; });
  return overlooked;
}

FirmReports FirstOf(const std::vector<Overlooked>& overlooked, std::size_t count) {
  FirmReports firm;
  for (std::size_t i = 0; i < count; ++i) {
    firm.reports.push_back(overlooked[i].report);
    firm.error += overlooked[i].p;
  }
  std::sort(firm.reports.begin(), firm.reports.end());
  return firm;
}

}  // namespace

Network WithFirm(Network network, const std::vector<int>& reports) {
  for (const int index : reports) network.reports[At(index)].p_if_present = 0;
  return network;
}

FirmReports TakeSomeForCertain(const Network& network, const std::vector<int>& may_be,
                               const BeliefLimits& limits, double most) {
  BeliefLimits exactly = limits;
  exactly.samples = 0;
  const std::vector<Overlooked> overlooked = ChancesOverlooked(network, may_be, exactly);
  FirmReports best;
  std::size_t too_few = 0, enough = overlooked.size() + 1;
  // First all of them, then as few as are enough, to within an eighth.
  for (std::size_t count = overlooked.size(); count > too_few; count = (too_few + enough) / 2) {
    FirmReports firm = FirstOf(overlooked, count);
    firm.chances = ComputeChances(WithFirm(network, firm.reports), exactly);
    const bool solved = firm.chances.exact && firm.chances.possible;
    if (solved) {
      enough = count;
      best = std::move(firm);
    } else if (count == overlooked.size()) {
      break;
    } else {
      too_few = count;
    }
    if (enough - too_few <= 1 + overlooked.size() / 8) break;
  }
  return best.error <= most ? best : FirmReports{};
}

}  // namespace gearwhy
