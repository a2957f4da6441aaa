#include "engine/belief/after_repair.h"

#include <map>
#include <utility>

#include "engine/text/at.h"

namespace gearwhy {
namespace {

// These events and all that may bring them about.
std::vector<char> AndCausesOf(const Network& network, const std::vector<int>& events) {
  Network unreported = network;
  unreported.reports.clear();
  return BearsOnReports(unreported, events);
}

// The network in which events below the mended faults are told apart, as far as what is asked about hangs on
// them.
class Twin {
 public:
  Twin(const Network& network, const std::vector<MendedFault>& mended, const std::vector<int>& asked)
      : network_(network),
        twin_(network),
        matters_(AndCausesOf(network, asked)),
        brought_(network.events.size(), -1),
        again_(brought_) {
    kept_ = brought_;
    is_mended_.assign(network.events.size(), 0);
    for (const MendedFault& fault : mended) {
      is_mended_[At(fault.event)] = 1;
      if (fault.p_again <= 0) continue;
      Event anew{network.events[At(fault.event)].id + " again", EventType::kFault, fault.p_again, {}};
      again_[At(fault.event)] = Add(std::move(anew));
    }
    for (const int event : CausesFirst(network)) TellApart(event);
  }

  // One of those asked about: the event that is so when it is still there after the repair; -1: it cannot be.
  int Still(int event) {
    if (is_mended_[At(event)] != 0) return again_[At(event)];
    if (kept_[At(event)] < 0) return event;  // below nothing that was mended
    const auto [it, is_new] = still_.try_emplace(event, -1);
    if (is_new) it->second = AddStill(event);
    return it->second;
  }

  void Put(Report report) { twin_.reports.push_back(std::move(report)); }

  const Network& network() const { return twin_; }

 private:
  int AddStill(int event) {
    Event still{network_.events[At(event)].id + " still", EventType::kFinding, 0, {{kept_[At(event)], 1}}};
    if (again_[At(event)] >= 0) still.causes.push_back({again_[At(event)], 1});
    return Add(std::move(still));
  }

  int Add(Event event) {
    twin_.events.push_back(std::move(event));
    return static_cast<int>(twin_.events.size()) - 1;
  }

  // A fault stays what it is, and so does what no mended fault brings about.
  void TellApart(int event) {
    const Event& whole = network_.events[At(event)];
    if (whole.type == EventType::kFault || matters_[At(event)] == 0) return;
    Event kept{whole.id + " kept", whole.type, whole.p_unexplained, {}, whole.in_world};
    Event brought{whole.id + " brought", whole.type, 0, {}};
    Event again{whole.id + " again", whole.type, 0, {}};
    const auto link = [](Event& effect, int from, Cause cause) {
      cause.event = from;
      effect.causes.push_back(std::move(cause));
    };
    for (const Cause& cause : whole.causes) {
      const auto from = At(cause.event);
      const bool apart = kept_[from] >= 0;
      if (is_mended_[from] != 0) link(brought, cause.event, cause);
      if (apart) link(brought, brought_[from], cause);
      if (again_[from] >= 0) link(again, again_[from], cause);
      if (is_mended_[from] == 0) link(kept, apart ? kept_[from] : cause.event, cause);
    }
    if (brought.causes.empty()) return;
    kept_[At(event)] = Add(std::move(kept));
    brought_[At(event)] = Add(std::move(brought));
    if (!again.causes.empty()) again_[At(event)] = Add(std::move(again));
    Event& told_apart = twin_.events[At(event)];
    told_apart.p_unexplained = 0;
    told_apart.in_world.clear();
    told_apart.causes = {{kept_[At(event)], 1}, {brought_[At(event)], 1}};
  }

  const Network& network_;
  Network twin_;
  std::vector<char> matters_;
  std::vector<char> is_mended_;
  // By event: what was brought about by mended faults, what comes again with the new parts, and what the
  // others keep up; -1 where there is none.
  std::vector<int> brought_, again_, kept_;
  std::map<int, int> still_;
};

}  // namespace

AfterRepair ChancesAfterRepair(const Network& network, const std::vector<MendedFault>& mended,
                               const std::vector<Report>& tried, const std::vector<int>& asked,
                               const BeliefLimits& limits) {
  std::vector<int> asked_of = asked;
  for (const Report& report : tried) asked_of.push_back(report.event);
  Twin twin(network, mended, asked_of);
  std::vector<int> still;
  for (const int event : asked) still.push_back(twin.Still(event));
  for (Report report : tried) {
    report.event = twin.Still(report.event);
    if (report.event >= 0) twin.Put(std::move(report));
  }
  BeliefLimits these = limits;
  these.also.clear();
  for (const int event : still) {
    if (event >= 0) these.also.push_back(event);
  }
  const Chances chances = ComputeChances(twin.network(), these);
  AfterRepair after;
  after.exact = chances.exact;
  for (const int event : still) after.p_still.push_back(event < 0 ? 0 : chances.p_event[At(event)]);
  return after;
}

}  // namespace gearwhy
