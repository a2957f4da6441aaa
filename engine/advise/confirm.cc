#include "engine/advise/confirm.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/model/access.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"
#include "engine/text/for_order.h"

namespace gearwhy {
namespace {

constexpr double kLeastBlame = 1e-3;  // of the whole
constexpr double kDone = 1e-3;
constexpr double kLeastGain = 1e-7;

}  // namespace

std::vector<double> BlameOf(const Network& network, const std::vector<double>& p_by_itself) {
  std::vector<double> blame(network.events.size(), 0);
  for (std::size_t i = 0; i < blame.size(); ++i) {
    const Event& event = network.events[i];
    if (event.type != EventType::kFault || std::isnan(p_by_itself[i]) || event.p_unexplained >= 1) continue;
    blame[i] = std::max(0.0, (p_by_itself[i] - event.p_unexplained) / (1 - event.p_unexplained));
  }
  return blame;
}

bool IsSight(const Event& finding, const Cause& cause) {
  return cause.p_how_often >= kSightFrom && finding.causes.size() <= kFewCauses;
}

Confirmation::Confirmation(const Words& words, const Network& network,
                           const std::vector<GroundCheck>& checks) {
  for (const auto& [name, access] : words.access) steps_.push_back({name, -1, access.minutes, {}});
  for (Step& step : steps_) {
    step.from = StepOf(words.access.at(step.name).from);
    for (const std::string& name : OpenWith(words, step.name)) step.opens.push_back(StepOf(name));
  }

  // The best that any direct check does for a fault that no sight shows.
  std::map<int, double> sight_of, stand_in_of;
  const auto each = [&](const auto& visit) {
    for (std::size_t c = 0; c < checks.size(); ++c) {
      const Trust& trust = *words.FindTrust(checks[c].check->trust);
      for (const int finding : checks[c].findings) {
        const std::vector<Cause>& causes = network.events[At(finding)].causes;
        for (const Cause& cause : causes) {
          if (network.events[At(cause.event)].type != EventType::kFault) continue;
          const bool sight = trust.direct && IsSight(network.events[At(finding)], cause);
          visit(c, Sight{cause.event, finding, cause.p_how_often * trust.p_noticed}, sight, trust.direct);
        }
      }
    }
  };
  each([&](std::size_t, const Sight& sight, bool is_sight, bool direct) {
    double& best = is_sight ? sight_of[sight.fault] : stand_in_of[sight.fault];
    if (is_sight || direct) best = std::max(best, sight.p_seen);
  });
  std::vector<int> look_of(checks.size(), -1);
  each([&](std::size_t c, const Sight& sight, bool is_sight, bool direct) {
    const bool stands_in = !sight_of.contains(sight.fault) && direct && sight.p_seen >= kStandInFrom &&
                           sight.p_seen >= stand_in_of[sight.fault];
    if (!is_sight && !stands_in) return;
    if (look_of[c] < 0) {
      look_of[c] = static_cast<int>(looks_.size());
      looks_.push_back({c, std::max(0.5, checks[c].check->minutes), StepOf(checks[c].check->access), {}});
    }
    looks_[At(look_of[c])].sights.push_back(sight);
  });
}

int Confirmation::StepOf(const std::string& name) const {
  for (std::size_t i = 0; i < steps_.size(); ++i) {
    if (steps_[i].name == name) return static_cast<int>(i);
  }
  return -1;
}

std::vector<char> Confirmation::Open(const std::set<std::string>& names) const {
  std::vector<char> open(steps_.size(), 0);
  for (const std::string& name : names) open = With(open, name);
  return open;
}

void Confirmation::OpenStep(int step, std::vector<char>& open) const {
  if (step < 0) return;
  for (const int opened : steps_[At(step)].opens) open[At(opened)] = 1;
}

std::vector<char> Confirmation::With(const std::vector<char>& open, const std::string& access) const {
  std::vector<char> more = open;
  OpenStep(StepOf(access), more);
  return more;
}

std::vector<Confirmation::Candidate> Confirmation::CandidatesOf(const std::vector<const Look*>& to_make,
                                                                const std::vector<double>& left) {
  std::vector<Candidate> candidates;
  for (const Look* look : to_make) {
    double gain = 0;
    for (const Sight& sight : look->sights) gain += left[At(sight.fault)] * sight.p_seen;
    if (gain > kLeastGain) candidates.push_back({look, gain});
  }
  std::stable_sort(candidates.begin(), candidates.end(), [](const Candidate& a, const Candidate& b) {
    return ForOrder(a.gain * b.look->minutes) > ForOrder(b.gain * a.look->minutes);
  });
  return candidates;
}

Confirmation::Run Confirmation::RunBehind(int target, const std::vector<Candidate>& candidates,
                                          const std::vector<char>& open) const {
  Run run;
  run.open = open;
  for (int step = target; step >= 0 && !run.open[At(step)]; step = steps_[At(step)].from)
    run.reach += steps_[At(step)].minutes;
  OpenStep(target, run.open);
  double minutes = run.reach, gain = 0;
  for (const Candidate& candidate : candidates) {
    if (candidate.look->access >= 0 && !run.open[At(candidate.look->access)]) continue;
    gain += candidate.gain;
    minutes += candidate.look->minutes;
    if (run.first == nullptr) run.first = candidate.look;
    if (gain / minutes <= run.rate) break;
    run.rate = gain / minutes;
  }
  return run;
}

Confirmation::Run Confirmation::BestRun(const std::vector<Candidate>& candidates,
                                        const std::vector<char>& open) const {
  std::vector<int> targets = {-1};  // steps that some look needs; -1 for those that are open
  for (const Candidate& candidate : candidates) {
    const int access = candidate.look->access;
    if (access >= 0 && !open[At(access)]) targets.push_back(access);
  }
  std::sort(targets.begin(), targets.end());
  targets.erase(std::unique(targets.begin(), targets.end()), targets.end());
  Run best;
  for (const int target : targets) {
    Run run = RunBehind(target, candidates, open);
    if (run.rate > best.rate) best = std::move(run);
  }
  return best;
}

Confirmation::Plan Confirmation::Make(const std::vector<double>& blame,
                                      const std::vector<char>& already_open) const {
  Plan plan;
  double total = 0;
  for (const double b : blame) total += b;
  if (!(total > 0)) return plan;
  std::vector<double> left = blame;  // shares that no look has shown yet
  for (double& b : left) b = b < kLeastBlame * total ? 0 : b / total;
  std::vector<const Look*> to_make;
  for (const Look& look : looks_) {
    const bool shows_any = std::any_of(look.sights.begin(), look.sights.end(),
                                       [&](const Sight& sight) { return left[At(sight.fault)] > 0; });
    if (shows_any) to_make.push_back(&look);
  }
  std::vector<char> open = already_open;
  double unconfirmed = 0;
  for (const double b : left) unconfirmed += b;
  const double start = unconfirmed;
  while (unconfirmed > kDone && !to_make.empty()) {
    Run run = BestRun(CandidatesOf(to_make, left), open);
    if (run.first == nullptr) break;
    if (!plan.any) {
      plan.any = true;
      plan.check = run.first->check;
    }
    const double still = unconfirmed + (1 - start);  // the chance that it comes to this look
    plan.minutes += (run.reach + run.first->minutes) * still;
    plan.looks += still;
    open = std::move(run.open);
    for (const Sight& sight : run.first->sights) {
      const double seen = left[At(sight.fault)] * sight.p_seen;
      left[At(sight.fault)] -= seen;
      unconfirmed -= seen;
    }
    std::erase(to_make, run.first);
  }
  plan.unseen = unconfirmed;
  return plan;
}

}  // namespace gearwhy
