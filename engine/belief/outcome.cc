#include "engine/belief/outcome.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <map>

#include "engine/belief/compiled_network.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

using Reports = std::vector<Report>;

// log P(e+ | e-) after each answer, with some faults taken away.
class Setting {
 public:
  // `network`: with all reports; `is_off`: faults that are taken away.
  Setting(Network network, const std::function<bool(std::size_t)>& is_off, const std::vector<int>& asked,
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
  Setting(const Setting&) = delete;  // the trees refer to the networks
  Setting& operator=(const Setting&) = delete;

  bool fits() const { return fits_; }

  // `logp_all`, if given: of all reports, those of something absent among them.
  double LogChancePresent(const Posed& answer, double* logp_all = nullptr) {
    std::vector<Supposition> all, absent;
    for (const Reports* reports : {&answer.reports, &answer.reweighed}) {
      for (const Report& report : *reports) {
        const Supposition supposed{report.event, report.p_if_absent, report.p_if_present};
        all.push_back(supposed);
        if (!report.present) absent.push_back(supposed);
      }
    }
    const double logp = tree_of_all_->LogChance(all);
    if (logp_all != nullptr) *logp_all = logp;
    return logp - tree_of_absent_->LogChance(absent);
  }

 private:
  Network all_, only_absent_;
  std::optional<CompiledNetwork> tree_of_all_, tree_of_absent_;
  bool fits_ = false;
};

// An outcome after an answer, and the chance of all that has then been reported.
struct OutcomeIn {
  std::optional<Outcome> outcome;
  double logp = -std::numeric_limits<double>::infinity();
};

// In one world, by answer; nothing where a tree is too wide.
std::optional<std::vector<OutcomeIn>> OutcomesInOne(const Network& network,
                                                    const std::vector<char>& is_marked,
                                                    const Question& answers, const BeliefLimits& limits) {
  std::vector<OutcomeIn> outcomes(answers.size());
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
  Setting as_it_is(
      part.network, [](std::size_t) { return false; }, asked_in_part, limits);
  Setting without_faults(part.network, is_fault, asked_in_part, limits);
  Setting without_marked(
      part.network, [&](std::size_t i) { return is_fault(i) && is_marked[At(part.kept[i])] != 0; },
      asked_in_part, limits);
  if (!as_it_is.fits() || !without_faults.fits() || !without_marked.fits()) return std::nullopt;
  for (std::size_t a = 0; a < answers.size(); ++a) {
    Posed answer = answers[a];
    for (Reports* reports : {&answer.reports, &answer.reweighed}) {
      for (Report& report : *reports) report.event = part.index_of[At(report.event)];
    }
    const double logp = as_it_is.LogChancePresent(answer, &outcomes[a].logp);
    if (!std::isfinite(logp)) continue;
    const auto share = [&](Setting& setting) {
      return std::max(0.0, -std::expm1(setting.LogChancePresent(answer) - logp));
    };
    Outcome outcome;
    outcome.any = share(without_faults);
    outcome.marked = std::min(outcome.any, share(without_marked));
    outcomes[a].outcome = outcome;
  }
  return outcomes;
}

// Of answers that take no report back.
std::vector<std::optional<Outcome>> OutcomesOf(const Network& network, const std::vector<char>& is_marked,
                                               const Question& answers, const BeliefLimits& limits) {
  std::vector<std::optional<Outcome>> outcomes(answers.size());
  const std::vector<double> weights = network.worlds.empty() ? std::vector<double>{1} : network.worlds;
  std::vector<std::vector<OutcomeIn>> in_world;
  for (std::size_t w = 0; w < weights.size(); ++w) {
    std::optional<std::vector<OutcomeIn>> one(answers.size());
    if (weights[w] > 0)
      one = OutcomesInOne(network.worlds.empty() ? network : InWorld(network, w), is_marked, answers, limits);
    if (!one) return outcomes;
    in_world.push_back(std::move(*one));
  }
  for (std::size_t a = 0; a < answers.size(); ++a) {
    if (in_world.size() == 1) {
      outcomes[a] = in_world.front()[a].outcome;
      continue;
    }
    std::vector<double> logp;
    for (const auto& one : in_world) logp.push_back(one[a].logp);
    const WorldShares shares = SharesOf(weights, logp);
    if (!std::isfinite(shares.logp)) continue;
    outcomes[a] = Outcome{};
    for (std::size_t w = 0; w < weights.size(); ++w) {
      if (shares.share[w] <= 0 || !in_world[w][a].outcome) continue;
      outcomes[a]->any += shares.share[w] * in_world[w][a].outcome->any;
      outcomes[a]->marked += shares.share[w] * in_world[w][a].outcome->marked;
    }
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
