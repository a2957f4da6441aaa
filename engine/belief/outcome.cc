#include "engine/belief/outcome.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <map>
#include <memory>

#include "engine/belief/compiled_network.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"
#include "engine/text/at_once.h"

namespace gearwhy {
namespace {

constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();
constexpr double kPassesOfATree = 3;  // what making it takes

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
  }
  Setting(const Setting&) = delete;  // the trees refer to the networks
  Setting& operator=(const Setting&) = delete;

  bool fits() const { return tree_of_all_->fits() && tree_of_absent_->fits(); }
  double entries() const { return tree_of_all_->entries() + tree_of_absent_->entries(); }
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

// A question put to a network in one of its worlds.
class Put {
 public:
  Put(const Network& network, const std::vector<char>& is_marked, Question answers,
      const BeliefLimits& limits)
      : answers_(std::move(answers)) {
    std::vector<int> asked = AskedOf(answers_);
    const Ancestry part = AncestorsOfReports(network, asked);
    for (int& event : asked) event = part.index_of[At(event)];
    for (Posed& answer : answers_) {
      for (Reports* reports : {&answer.reports, &answer.reweighed}) {
        for (Report& report : *reports) report.event = part.index_of[At(report.event)];
      }
    }
    const auto is_fault = [&](std::size_t i) { return part.network.events[i].type == EventType::kFault; };
    const auto is_off = [&](std::size_t i) { return is_fault(i) && is_marked[At(part.kept[i])] != 0; };
    as_it_is_.emplace(
        part.network, [](std::size_t) { return false; }, asked, limits);
    without_faults_.emplace(part.network, is_fault, asked, limits);
    without_marked_.emplace(part.network, is_off, asked, limits);
  }

  bool fits() const { return as_it_is_->fits() && without_faults_->fits() && without_marked_->fits(); }
  double work() const {
    const double entries = as_it_is_->entries() + without_faults_->entries() + without_marked_->entries();
    return (kPassesOfATree + static_cast<double>(answers_.size())) * entries;
  }

  // Where it fits; once.
  std::optional<InOneWorld> Ask() {
    if (!as_it_is_->Build() || !without_faults_->Build() || !without_marked_->Build()) return std::nullopt;
    InOneWorld found;
    found.logp_now = as_it_is_->LogChance({});
    for (const Posed& answer : answers_) {
      AfterOne& after = found.after.emplace_back();
      Reports all = answer.reports;
      all.insert(all.end(), answer.reweighed.begin(), answer.reweighed.end());
      after.logp = as_it_is_->LogChance(all);
      after.logp_posed = answer.reweighed.empty() ? after.logp : as_it_is_->LogChance(answer.reports);
      const double logp = after.logp - as_it_is_->LogChanceOfAbsent(all);
      if (!std::isfinite(logp)) continue;
      const auto share = [&](Setting& setting) {
        return std::max(0.0, -std::expm1(setting.LogChance(all) - setting.LogChanceOfAbsent(all) - logp));
      };
      Outcome outcome;
      outcome.any = share(*without_faults_);
      outcome.marked = std::min(outcome.any, share(*without_marked_));
      after.outcome = outcome;
    }
    return found;
  }

 private:
  Question answers_;  // with the events as they are numbered in the settings
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
  std::vector<Network> networks;
  for (std::size_t w = 0; w < network.worlds.size(); ++w) {
    if (network.worlds[w] <= 0) continue;
    weights.push_back(network.worlds[w]);
    networks.push_back(InWorld(network, w));
  }
  if (network.worlds.empty()) weights.push_back(1);
  const std::size_t worlds = weights.size();
  std::vector<std::unique_ptr<Put>> put(questions.size() * worlds);
  AtOnce(put.size(), [&](std::size_t i) {
    const Network& world = network.worlds.empty() ? network : networks[i % worlds];
    put[i] = std::make_unique<Put>(world, is_marked, questions[i / worlds], limits);
  });
  double left = limits.answer_work * static_cast<double>(worlds);
  std::vector<char> is_asked(questions.size(), 0);
  for (std::size_t q = 0; q < questions.size(); ++q) {
    double work = 0;
    bool fits = true;
    for (std::size_t w = 0; w < worlds; ++w) {
      work += put[q * worlds + w]->work();
      fits = fits && put[q * worlds + w]->fits();
    }
    is_asked[q] = static_cast<char>(fits && work <= left);
    if (is_asked[q] != 0) left -= work;
  }
  std::vector<std::vector<OutcomeAfter>> outcomes(questions.size());
  AtOnce(questions.size(), [&](std::size_t q) {
    std::vector<InOneWorld> in_world;
    for (std::size_t w = 0; w < worlds; ++w) {
      std::unique_ptr<Put> one = std::move(put[q * worlds + w]);
      if (is_asked[q] == 0) continue;
      if (std::optional<InOneWorld> found = one->Ask()) in_world.push_back(std::move(*found));
    }
    if (in_world.size() == worlds) outcomes[q] = Join(weights, in_world);
  });
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
