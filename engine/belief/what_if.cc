// What if: every event's chance if an event nobody reported turned out present, or absent.
//
// One tree serves many asked events. For an event in the tree both answers are one pass each. For an end
// the absent answer is one pass (weights on its causes), and present follows by subtraction, P(F, present)
// = P(F) - P(F, absent), as long as the end is not rare: the difference then loses at most three of fifteen
// digits. A rare end is present because of its leak or because some cause is the first to act: a sum of
// non-negative passes, one a cause.
#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/belief/approximate.h"
#include "engine/belief/chances.h"
#include "engine/belief/compiled_network.h"
#include "engine/belief/groups.h"

namespace gearwhy {
namespace {

constexpr double kNotComputed = std::numeric_limits<double>::quiet_NaN();
constexpr double kRare = 1e-3;
constexpr int kMostDraws = 5'000;  // each asked event looks at every draw of every event

size_t At(int index) { return static_cast<size_t>(index); }

// Rounding may carry a chance a little out of 0..1. NaN stays NaN.
double Clamped(double p) { return p > 1 ? 1 : p < 0 ? 0 : p; }

// Answers the questions of one group.
class Asker {
 public:
  Asker(const Network& network, CompiledNetwork& compiled) : compiled_(compiled) {
    p_base_.assign(network.events.size(), kNotComputed);
    for (size_t i = 0; i < network.events.size(); ++i) {
      if (network.events[i].causes.empty()) p_base_[i] = network.events[i].p_unexplained;
    }
    p_by_itself_ = p_base_;
    logp_ = compiled_.Solve({}, false, &p_base_, &p_by_itself_);
  }

  bool possible() const { return std::isfinite(logp_); }

  WhatIf Ask(int event) {
    WhatIf answer;
    answer.p_event_if_present = answer.p_event_if_absent = p_base_;
    if (compiled_.place(event) == CompiledNetwork::Place::kEnd) {
      AskEnd(event, &answer);
    } else {
      answer.p_present = p_base_[At(event)];
      if (compiled_.place(event) != CompiledNetwork::Place::kVariable)
        return answer;  // certain: there is no other answer
      Suppose({{event, 1, 0}}, &answer.p_event_if_absent);
      Suppose({{event, 0, 1}}, &answer.p_event_if_present);
    }
    answer.p_event_if_present[At(event)] = answer.p_present > 0 ? 1 : 0;
    answer.p_event_if_absent[At(event)] = answer.p_present < 1 ? 0 : 1;
    return answer;
  }

 private:
  // Returns the chance of the suppositions given the reports; leaves `p_event` alone when it is 0.
  double Suppose(const std::vector<Supposition>& suppositions, std::vector<double>* p_event) {
    return std::exp(compiled_.Solve(suppositions, false, p_event, &p_by_itself_) - logp_);
  }

  void AskEnd(int event, WhatIf* answer) {
    const double p_absent = std::min(1.0, Suppose({{event, 1, 0}}, &answer->p_event_if_absent));
    answer->p_present = 1 - p_absent;
    if (answer->p_present < kRare) {
      AskRareEnd(event, answer);
      return;
    }
    for (size_t i = 0; i < p_base_.size(); ++i) {
      const double joint = p_base_[i] - answer->p_event_if_absent[i] * p_absent;
      answer->p_event_if_present[i] = Clamped(joint / answer->p_present);
    }
  }

  void AskRareEnd(int event, WhatIf* answer) {
    const double leak = compiled_.leak(event);
    double p_present = leak;
    std::vector<double> joint(p_base_.size());
    for (size_t i = 0; i < joint.size(); ++i) joint[i] = leak * p_base_[i];
    std::vector<Supposition> first_to_act;
    for (const CompiledNetwork::Link& link : compiled_.live_causes(event)) {
      first_to_act.push_back({link.event, 0, link.q});
      std::vector<double> p_event = p_base_;
      const double p = (1 - leak) * Suppose(first_to_act, &p_event);
      p_present += p;
      for (size_t i = 0; i < joint.size(); ++i) joint[i] += p * p_event[i];
      first_to_act.back() = {link.event, 1, 1 - link.q};
    }
    answer->p_present = p_present;
    if (p_present <= 0) return;
    for (size_t i = 0; i < joint.size(); ++i) answer->p_event_if_present[i] = Clamped(joint[i] / p_present);
  }

  CompiledNetwork& compiled_;
  std::vector<double> p_base_;
  std::vector<double> p_by_itself_;  // not wanted here
  double logp_ = 0;
};

// The answers to a question too wide for any tree, from weighed samples. Only ancestors of reports and of the
// asked event are answered for: among them an event that no report depends on counts in each draw with its
// chance given its causes, which is far less noisy than whether it was drawn.
WhatIf AskSamples(const Network& network, const Samples& samples, int event) {
  const std::vector<int> in_reports = AncestorsOfReports(network).index_of;
  const std::vector<int> in_part = AncestorsOfReports(network, {event}).index_of;
  WhatIf answer;
  answer.exact = false;
  std::vector<double> weight_if_present = samples.weight;
  for (size_t d = 0; d < samples.weight.size(); ++d) {
    weight_if_present[d] *= in_reports[At(event)] < 0 ? PresentGivenCauses(network, event, samples, d)
                                                      : static_cast<double>(samples.present[At(event)][d]);
    answer.p_present += weight_if_present[d];
  }
  answer.p_present = Clamped(answer.p_present);
  answer.p_event_if_present.assign(network.events.size(), kNotComputed);
  answer.p_event_if_absent = answer.p_event_if_present;
  for (size_t i = 0; i < network.events.size(); ++i) {
    if (in_part[i] < 0 && network.events[i].causes.empty()) {
      answer.p_event_if_present[i] = answer.p_event_if_absent[i] = network.events[i].p_unexplained;
    }
    if (in_part[i] < 0) continue;
    double present = 0;
    double absent = 0;
    for (size_t d = 0; d < samples.weight.size(); ++d) {
      if (!samples.present[i][d]) continue;
      present += weight_if_present[d];
      absent += samples.weight[d] - weight_if_present[d];
    }
    const double p = answer.p_present;
    answer.p_event_if_present[i] = Clamped(p > 0 ? present / p : absent);
    answer.p_event_if_absent[i] = Clamped(p < 1 ? absent / (1 - p) : present);
  }
  answer.p_event_if_present[At(event)] = answer.p_present > 0 ? 1 : 0;
  answer.p_event_if_absent[At(event)] = answer.p_present < 1 ? 0 : 1;
  return answer;
}

}  // namespace

std::vector<WhatIf> ComputeWhatIf(const Network& network, const std::vector<int>& events,
                                  const BeliefLimits& limits) {
  std::vector<WhatIf> answers(events.size());
  // An event asked twice is answered once and copied.
  std::vector<int> wanted = events;
  std::sort(wanted.begin(), wanted.end());
  wanted.erase(std::unique(wanted.begin(), wanted.end()), wanted.end());
  std::vector<WhatIf*> answer_of(network.events.size(), nullptr);
  for (size_t i = 0; i < events.size(); ++i) answer_of[At(events[i])] = &answers[i];

  bool possible = true;
  const auto answer_group = [&](CompiledNetwork& compiled, const std::vector<int>& group) {
    Asker asker(network, compiled);
    possible = possible && asker.possible();
    for (size_t i = 0; possible && i < group.size(); ++i) *answer_of[At(group[i])] = asker.Ask(group[i]);
  };
  const std::vector<int> too_wide = ForEachGroup(network, limits, wanted, true, answer_group);
  if (possible && !too_wide.empty()) {
    BeliefLimits fewer = limits;
    fewer.samples = std::min(limits.samples, kMostDraws);
    const Samples samples = DrawSamples(network, fewer);
    possible = std::isfinite(samples.logp_reports);
    for (size_t i = 0; possible && i < too_wide.size(); ++i) {
      *answer_of[At(too_wide[i])] = AskSamples(network, samples, too_wide[i]);
    }
  }
  if (!possible) {
    Network unreported = network;
    unreported.reports.clear();
    return ComputeWhatIf(unreported, events, limits);
  }
  for (size_t i = 0; i < events.size(); ++i) {
    if (answer_of[At(events[i])] != &answers[i]) answers[i] = *answer_of[At(events[i])];
  }
  return answers;
}

}  // namespace gearwhy
