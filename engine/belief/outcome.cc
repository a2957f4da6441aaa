#include "engine/belief/outcome.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <map>
#include <memory>

#include "engine/belief/question_trees.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"
#include "engine/text/at_once.h"

namespace gearwhy {
namespace {

constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();
// Of the six trees of a question none is larger than the first two, and those without any fault are small.
constexpr double kTreesInAll = 4;
constexpr double kMostEntries = 2.4e7;  // of a tree, which is only passed upwards, a few times

using Reports = std::vector<Report>;

std::vector<Supposition> Suppose(const Reports& reports) {
  std::vector<Supposition> supposed;
  for (const Report& report : reports)
    supposed.push_back({report.event, report.p_if_absent, report.p_if_present});
  return supposed;
}

// How likely all reports are after an answer, and those of something absent alone, with some faults taken
// away.
class Setting {
 public:
  // `network`: with all reports; `is_off`: faults that are taken away.
  Setting(Network network, const std::function<bool(std::size_t)>& is_off,
          const CompiledNetwork::Options& options, const BeliefLimits& limits)
      : all_(std::move(network)) {
    for (std::size_t i = 0; i < all_.events.size(); ++i) {
      if (!is_off(i)) continue;
      all_.events[i].p_unexplained = 0;
      all_.events[i].causes.clear();
    }
    only_absent_ = all_;
    std::erase_if(only_absent_.reports, [](const Report& report) { return report.present; });
    tree_of_all_.emplace(all_, limits, options);
    tree_of_absent_.emplace(only_absent_, limits, options);
  }
  Setting(const Setting&) = delete;  // the trees refer to the networks
  Setting& operator=(const Setting&) = delete;

  [[nodiscard]] bool Build() { return tree_of_all_->Build() && tree_of_absent_->Build(); }

  // Logarithms.
  double LogChance(const Reports& answer) { return tree_of_all_->LogChance(Suppose(answer)); }
  double LogChanceOfAbsent(Reports answer) {
    std::erase_if(answer, [](const Report& report) { return report.present; });
    return tree_of_absent_->LogChance(Suppose(answer));
  }

 private:
  Network all_, only_absent_;
  std::optional<CompiledNetwork> tree_of_all_, tree_of_absent_;
};

// What comes of an answer in one world.
struct AfterOne {
  std::optional<Outcome> outcome;
  double logp = kMinusInfinity;        // of all that has then been reported, with what it reweighs
  double logp_posed = kMinusInfinity;  // without that: how likely the answer is
};
struct InOneWorld {
  double logp_now = kMinusInfinity;
  std::vector<AfterOne> after;  // by answer
};

// A network in one of its worlds, ready for some questions.
class Settings {
 public:
  Settings(const Network& network, const std::vector<char>& is_marked, const std::vector<int>& asked,
           bool as_ends, const BeliefLimits& limits)
      : part_(AncestorsOfReports(network, asked)) {
    CompiledNetwork::Options options;
    options.asked_as_ends = as_ends;
    options.max_entries = kMostEntries;
    for (const int event : asked) options.asked.push_back(part_.index_of[At(event)]);
    const auto is_fault = [&](std::size_t i) { return part_.network.events[i].type == EventType::kFault; };
    const auto is_off = [&](std::size_t i) { return is_fault(i) && is_marked[At(part_.kept[i])] != 0; };
    as_it_is_.emplace(
        part_.network, [](std::size_t) { return false; }, options, limits);
    without_faults_.emplace(part_.network, is_fault, options, limits);
    without_marked_.emplace(part_.network, is_off, options, limits);
  }

  // Once. False where one of the trees is too wide, and nothing may be asked.
  [[nodiscard]] bool Build() {
    return as_it_is_->Build() && without_faults_->Build() && without_marked_->Build();
  }

  InOneWorld Ask(const Question& question) {
    InOneWorld found;
    found.logp_now = as_it_is_->LogChance({});
    for (const Posed& answer : question) {
      AfterOne& after = found.after.emplace_back();
      const Reports posed = InPart(answer.reports);
      Reports all = posed;
      const Reports reweighed = InPart(answer.reweighed);
      all.insert(all.end(), reweighed.begin(), reweighed.end());
      after.logp = as_it_is_->LogChance(all);
      after.logp_posed = reweighed.empty() ? after.logp : as_it_is_->LogChance(posed);
      const double logp = after.logp - as_it_is_->LogChanceOfAbsent(all);
      if (!std::isfinite(logp)) continue;
      const auto share = [&](Setting& setting) {
        return -std::expm1(setting.LogChance(all) - setting.LogChanceOfAbsent(all) - logp);
      };
      const double any = share(*without_faults_), marked = share(*without_marked_);
      if (std::isnan(any) || std::isnan(marked)) continue;  // too few digits are left (asked_tree.h)
      Outcome outcome;
      outcome.any = std::max(0.0, any);
      outcome.marked = std::min(outcome.any, std::max(0.0, marked));
      after.outcome = outcome;
    }
    return found;
  }

 private:
  Reports InPart(Reports reports) const {
    for (Report& report : reports) report.event = part_.index_of[At(report.event)];
    return reports;
  }

  Ancestry part_;
  std::optional<Setting> as_it_is_, without_faults_, without_marked_;
};

// An answer over the worlds, by their shares after it.
std::optional<Outcome> SumOver(const std::vector<double>& shares, const std::vector<InOneWorld>& in_world,
                               std::size_t answer) {
  if (in_world.size() == 1) return in_world.front().after[answer].outcome;
  Outcome sum;
  for (std::size_t w = 0; w < shares.size(); ++w) {
    const std::optional<Outcome>& one = in_world[w].after[answer].outcome;
    if (shares[w] <= 0 || !one) continue;
    sum.any += shares[w] * one->any;
    sum.marked += shares[w] * one->marked;
  }
  return sum;
}

std::vector<OutcomeAfter> Join(const std::vector<double>& weights, const std::vector<InOneWorld>& in_world) {
  const auto over_worlds = [&](const auto& logp_in) {
    std::vector<double> logp;
    for (const InOneWorld& one : in_world) logp.push_back(logp_in(one));
    return SharesOf(weights, logp);
  };
  const double logp_now = over_worlds([](const InOneWorld& one) { return one.logp_now; }).logp;
  std::vector<OutcomeAfter> outcomes(in_world.front().after.size());
  for (std::size_t a = 0; a < outcomes.size(); ++a) {
    const double logp_posed =
        over_worlds([a](const InOneWorld& one) { return one.after[a].logp_posed; }).logp;
    if (!std::isfinite(logp_posed)) continue;
    outcomes[a].p = std::exp(logp_posed - logp_now);
    const WorldShares then = over_worlds([a](const InOneWorld& one) { return one.after[a].logp; });
    if (std::isfinite(then.logp)) outcomes[a].outcome = SumOver(then.share, in_world, a);
  }
  return outcomes;
}

// Of the network as it is, whatever the answers take back.
std::vector<std::vector<OutcomeAfter>> OutcomesOf(const Network& network, const std::vector<char>& is_marked,
                                                  const std::vector<Question>& questions,
                                                  const BeliefLimits& limits) {
  std::vector<double> weights;
  std::vector<Network> in_one;
  in_one.reserve(network.worlds.size());
  std::vector<const Network*> networks;
  for (std::size_t w = 0; w < network.worlds.size(); ++w) {
    if (network.worlds[w] <= 0) continue;
    weights.push_back(network.worlds[w]);
    networks.push_back(&in_one.emplace_back(InWorld(network, w)));
  }
  if (network.worlds.empty()) {
    weights.push_back(1);
    networks.push_back(&network);
  }
  const std::size_t worlds = weights.size();
  std::vector<std::vector<Group>> in_worlds(worlds);
  AtOnce(worlds, [&](std::size_t w) { in_worlds[w] = GroupsOf(*networks[w], questions, limits); });
  const std::vector<char> is_asked =
      AreWithin(limits.answer_work * static_cast<double>(worlds), questions, in_worlds, kTreesInAll);
  std::vector<std::pair<std::size_t, Group*>> tasks;  // by world
  for (std::size_t w = 0; w < worlds; ++w) {
    for (Group& group : in_worlds[w]) tasks.emplace_back(w, &group);
  }
  std::vector<std::vector<std::optional<InOneWorld>>> found(questions.size());  // by question, then by world
  for (auto& of_question : found) of_question.resize(worlds);
  AtOnce(tasks.size(), [&](std::size_t t) {
    const auto [w, group] = tasks[t];
    group->tree.reset();  // it has been measured
    std::erase_if(group->questions, [&](std::size_t q) { return is_asked[q] == 0; });
    if (group->questions.empty()) return;
    Settings settings(*networks[w], is_marked, group->events, group->as_ends, limits);
    if (!settings.Build()) return;
    for (const std::size_t q : group->questions) found[q][w] = settings.Ask(questions[q]);
  });
  std::vector<std::vector<OutcomeAfter>> outcomes(questions.size());
  for (std::size_t q = 0; q < questions.size(); ++q) {
    std::vector<InOneWorld> in_world;
    for (std::optional<InOneWorld>& one : found[q]) {
      if (one) in_world.push_back(std::move(*one));
    }
    if (in_world.size() == worlds) outcomes[q] = Join(weights, in_world);
  }
  return outcomes;
}

}  // namespace

std::vector<std::vector<OutcomeAfter>> OutcomesAfter(const Network& network,
                                                     const std::vector<char>& is_marked,
                                                     const std::vector<Question>& questions,
                                                     const BeliefLimits& limits) {
  std::vector<std::vector<OutcomeAfter>> outcomes = OutcomesOf(network, is_marked, questions, limits);
  std::map<std::vector<int>, std::vector<std::pair<std::size_t, std::size_t>>> by_taken_back;
  for (std::size_t q = 0; q < questions.size(); ++q) {
    for (std::size_t a = 0; a < outcomes[q].size(); ++a) {
      if (!questions[q][a].taken_back.empty()) by_taken_back[questions[q][a].taken_back].emplace_back(q, a);
    }
  }
  for (const auto& [events, answers] : by_taken_back) {
    std::vector<Question> again;
    for (const auto& [q, a] : answers) again.push_back({questions[q][a]});
    const auto then = OutcomesOf(WithoutReportsOf(network, events), is_marked, again, limits);
    for (std::size_t i = 0; i < answers.size(); ++i) {
      const auto& [q, a] = answers[i];
      if (outcomes[q].empty()) continue;
      if (then[i].empty())
        outcomes[q].clear();
      else
        outcomes[q][a].outcome = then[i].front().outcome;
    }
  }
  return outcomes;
}

std::optional<Outcome> ComputeOutcome(const Network& network, const std::vector<char>& is_marked,
                                      const BeliefLimits& limits) {
  BeliefLimits whatever_work = limits;
  whatever_work.answer_work = std::numeric_limits<double>::infinity();
  const auto now = OutcomesOf(network, is_marked, {{Posed{}}}, whatever_work);
  return now.front().empty() ? std::nullopt : now.front().front().outcome;
}

}  // namespace gearwhy
