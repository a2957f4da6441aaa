#include "engine/belief/after_repair.h"

#include <map>
#include <utility>

#include "engine/belief/twin.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// The network in which the mended faults are taken away, and what comes again with the new parts.
class Repaired {
 public:
  Repaired(const Network& network, const std::vector<MendedFault>& mended, const std::vector<int>& asked)
      : network_(network), again_(network.events.size(), kNever), twin_(MakeTwin(network, mended, asked)) {
    for (const MendedFault& fault : mended) {
      if (fault.p_again <= 0) continue;
      again_[At(fault.event)] =
          twin_.Add({network.events[At(fault.event)].id + " again", EventType::kFault, fault.p_again, {}});
    }
    for (const int event : CausesFirst(network)) AddAgain(event);
  }

  // One of those asked about: the event that is so when it is still there after the repair; kNever: it cannot
  // be.
  int Still(int event) {
    const int kept = twin_.Kept(event), again = again_[At(event)];
    if (kept == kNever) return again;
    if (kept == event) return event;
    const auto [it, is_new] = still_.try_emplace(event, kNever);
    // An event of its own in any case: what is only a part of another has no chance of its own (chances.h).
    if (is_new) {
      Event still{network_.events[At(event)].id + " still", EventType::kFinding, 0, {{kept, 1}}};
      if (again != kNever) still.causes.push_back({again, 1});
      it->second = twin_.Add(std::move(still));
    }
    return it->second;
  }

  void Put(Report report) { twin_.network().reports.push_back(std::move(report)); }

  const Network& network() const { return twin_.network(); }

 private:
  static constexpr int kNever = Twin::kNever;

  static Twin MakeTwin(const Network& network, const std::vector<MendedFault>& mended,
                       const std::vector<int>& asked) {
    std::vector<char> is_mended(network.events.size(), 0);
    for (const MendedFault& fault : mended) is_mended[At(fault.event)] = 1;
    Twin::Wanted wanted{asked, {}, true};
    for (const Report& report : network.reports) {
      if (!report.left_out) wanted.whole.push_back(report.event);
    }
    return Twin(network, is_mended, wanted);
  }

  // What a new part brings about. A fault stays what it is.
  void AddAgain(int event) {
    const Event& whole = network_.events[At(event)];
    if (whole.type == EventType::kFault) return;
    Event again{whole.id + " again", whole.type, 0, {}};
    for (Cause cause : whole.causes) {
      cause.event = again_[At(cause.event)];
      if (cause.event != kNever) again.causes.push_back(std::move(cause));
    }
    if (!again.causes.empty()) again_[At(event)] = twin_.Add(std::move(again));
  }

  const Network& network_;
  std::vector<int> again_;  // by event
  Twin twin_;
  std::map<int, int> still_;
};

}  // namespace

AfterRepair ChancesAfterRepair(const Network& network, const std::vector<MendedFault>& mended,
                               const std::vector<Report>& tried, const std::vector<int>& asked,
                               const BeliefLimits& limits) {
  std::vector<int> asked_of = asked;
  for (const Report& report : tried) asked_of.push_back(report.event);
  Repaired repaired(network, mended, asked_of);
  std::vector<int> still;
  for (const int event : asked) still.push_back(repaired.Still(event));
  for (Report report : tried) {
    report.event = repaired.Still(report.event);
    if (report.event >= 0) repaired.Put(std::move(report));
  }
  BeliefLimits these = limits;
  these.also.clear();
  for (const int event : still) {
    if (event >= 0) these.also.push_back(event);
  }
  const Chances chances = ComputeChances(repaired.network(), these);
  AfterRepair after;
  after.exact = chances.exact;
  for (const int event : still) after.p_still.push_back(event < 0 ? 0 : chances.p_event[At(event)]);
  return after;
}

}  // namespace gearwhy
