#include "engine/belief/outcome.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

#include "engine/belief/compiled_network.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

using Reports = std::vector<Report>;

// log P(e+ | e-) after each answer, in one world.
class World {
 public:
  // `network`: with all reports; `is_off`: faults that are taken away.
  World(Network network, const std::function<bool(std::size_t)>& is_off, const std::vector<int>& asked,
        const BeliefLimits& limits)
      : all_(std::move(network)) {
    for (std::size_t i = 0; i < all_.events.size(); ++i) {
      if (!is_off(i)) continue;
      all_.events[i].p_unexplained = 0;
      all_.events[i].causes.clear();
    }
    only_absent_ = all_;
    std::erase_if(only_absent_.reports, [](const Report& report) { return report.present; });
    CompiledNetwork::Options options;
    options.asked = asked;
    tree_of_all_.emplace(all_, limits, options);
    tree_of_absent_.emplace(only_absent_, limits, options);
    fits_ = tree_of_all_->Build() && tree_of_absent_->Build();
  }
  World(const World&) = delete;  // the trees refer to the networks
  World& operator=(const World&) = delete;

  bool fits() const { return fits_; }

  double LogChancePresent(const Posed& answer) {
    std::vector<Supposition> all, absent;
    for (const Reports* reports : {&answer.reports, &answer.reweighed}) {
      for (const Report& report : *reports) {
        const Supposition supposed{report.event, report.p_if_absent, report.p_if_present};
        all.push_back(supposed);
        if (!report.present) absent.push_back(supposed);
      }
    }
    return tree_of_all_->LogChance(all) - tree_of_absent_->LogChance(absent);
  }

 private:
  Network all_, only_absent_;
  std::optional<CompiledNetwork> tree_of_all_, tree_of_absent_;
  bool fits_ = false;
};

}  // namespace

namespace {

// Of answers that take no report back.
std::vector<std::optional<Outcome>> OutcomesOf(const Network& network, const std::vector<char>& is_marked,
                                               const Question& answers, const BeliefLimits& limits) {
  std::vector<std::optional<Outcome>> outcomes(answers.size());
  std::vector<int> asked;
  for (const Posed& answer : answers) {
    for (const Report& report : answer.reports) asked.push_back(report.event);
    for (const Report& report : answer.reweighed) asked.push_back(report.event);
  }
  std::sort(asked.begin(), asked.end());
  asked.erase(std::unique(asked.begin(), asked.end()), asked.end());
  Ancestry part = AncestorsOfReports(network, asked);
  std::vector<int> asked_in_part;
  for (const int event : asked) asked_in_part.push_back(part.index_of[At(event)]);

  const auto is_fault = [&](std::size_t i) { return part.network.events[i].type == EventType::kFault; };
  World as_it_is(
      part.network, [](std::size_t) { return false; }, asked_in_part, limits);
  World without_faults(part.network, is_fault, asked_in_part, limits);
  World without_marked(
      part.network, [&](std::size_t i) { return is_fault(i) && is_marked[At(part.kept[i])] != 0; },
      asked_in_part, limits);
  if (!as_it_is.fits() || !without_faults.fits() || !without_marked.fits()) return outcomes;
  for (std::size_t a = 0; a < answers.size(); ++a) {
    Posed answer = answers[a];
    for (Reports* reports : {&answer.reports, &answer.reweighed}) {
      for (Report& report : *reports) report.event = part.index_of[At(report.event)];
    }
    const double logp = as_it_is.LogChancePresent(answer);
    if (!std::isfinite(logp)) continue;
    const auto share = [&](World& world) {
      return std::max(0.0, -std::expm1(world.LogChancePresent(answer) - logp));
    };
    Outcome outcome;
    outcome.any = share(without_faults);
    outcome.marked = std::min(outcome.any, share(without_marked));
    outcomes[a] = outcome;
  }
  return outcomes;
}

}  // namespace

std::vector<std::optional<Outcome>> OutcomesAfter(const Network& network, const std::vector<char>& is_marked,
                                                  const Question& answers, const BeliefLimits& limits) {
  std::map<std::vector<int>, std::vector<std::size_t>> by_taken_back;
  for (std::size_t a = 0; a < answers.size(); ++a) by_taken_back[answers[a].taken_back].push_back(a);
  std::vector<std::optional<Outcome>> outcomes(answers.size());
  for (const auto& [events, of] : by_taken_back) {
    Question these;
    for (const std::size_t a : of) these.push_back(answers[a]);
    const std::vector<std::optional<Outcome>> found =
        OutcomesOf(events.empty() ? network : WithoutReportsOf(network, events), is_marked, these, limits);
    for (std::size_t i = 0; i < of.size(); ++i) outcomes[of[i]] = found[i];
  }
  return outcomes;
}

std::optional<Outcome> ComputeOutcome(const Network& network, const std::vector<char>& is_marked,
                                      const BeliefLimits& limits) {
  return OutcomesAfter(network, is_marked, {Posed{}}, limits).front();
}

}  // namespace gearwhy
