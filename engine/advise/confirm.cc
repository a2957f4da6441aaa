#include "engine/advise/confirm.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/model/access.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kLeastBlame = 1e-3;  // of the whole
constexpr double kDone = 1e-3;

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

Confirmation::Plan Confirmation::Make(const std::vector<double>& blame,
                                      const std::vector<char>& already_open) const {
  Plan plan;
  double total = 0;
  for (const double b : blame) total += b;
  if (!(total > 0)) return plan;
  std::vector<double> left = blame;  // shares that no look has shown yet
  for (double& b : left) b = b < kLeastBlame * total ? 0 : b / total;

  struct Candidate {
    const Look* look = nullptr;
    double gain = 0;
  };
  std::vector<const Look*> to_make;
  for (const Look& look : looks_) {
    for (const Sight& sight : look.sights) {
      if (left[At(sight.fault)] <= 0) continue;
      to_make.push_back(&look);
      break;
    }
  }
  std::vector<char> open = already_open;
  double unconfirmed = 0;
  for (const double b : left) unconfirmed += b;
  const double start = unconfirmed;
  while (unconfirmed > kDone && !to_make.empty()) {
    // Steps that some look needs, and what reaching each costs.
    std::vector<Candidate> candidates;
    std::vector<int> targets = {-1};
    for (const Look* look : to_make) {
      double gain = 0;
      for (const Sight& sight : look->sights) gain += left[At(sight.fault)] * sight.p_seen;
      if (gain > 1e-7) candidates.push_back({look, gain});
      if (look->access >= 0 && !open[At(look->access)]) targets.push_back(look->access);
    }
    if (candidates.empty()) break;
    std::sort(targets.begin(), targets.end());
    targets.erase(std::unique(targets.begin(), targets.end()), targets.end());
    std::stable_sort(candidates.begin(), candidates.end(), [](const Candidate& a, const Candidate& b) {
      return a.gain * b.look->minutes > b.gain * a.look->minutes;
    });
    double best_rate = -1;
    double best_reach = 0;
    const Look* best_look = nullptr;
    std::vector<char> best_open = open;
    for (const int target : targets) {
      std::vector<char> opened = open;
      double minutes = 0;
      for (int step = target; step >= 0 && !opened[At(step)]; step = steps_[At(step)].from) {
        minutes += steps_[At(step)].minutes;
      }
      OpenStep(target, opened);
      const double reach = minutes;
      double gain = 0;
      const Look* first = nullptr;
      double rate = -1;
      for (const Candidate& candidate : candidates) {
        if (candidate.look->access >= 0 && !opened[At(candidate.look->access)]) continue;
        gain += candidate.gain;
        minutes += candidate.look->minutes;
        if (first == nullptr) first = candidate.look;
        if (gain / minutes <= rate) break;
        rate = gain / minutes;
      }
      if (rate > best_rate) {
        best_rate = rate;
        best_reach = reach;
        best_look = first;
        best_open = std::move(opened);
      }
    }
    if (best_look == nullptr) break;
    if (!plan.any) {
      plan.any = true;
      plan.check = best_look->check;
    }
    const double still = unconfirmed + (1 - start);  // the chance that it comes to this look
    plan.minutes += (best_reach + best_look->minutes) * still;
    plan.looks += still;
    open = std::move(best_open);
    for (const Sight& sight : best_look->sights) {
      const double seen = left[At(sight.fault)] * sight.p_seen;
      left[At(sight.fault)] -= seen;
      unconfirmed -= seen;
    }
    std::erase(to_make, best_look);
  }
  plan.unseen = unconfirmed;
  return plan;
}

}  // namespace gearwhy
