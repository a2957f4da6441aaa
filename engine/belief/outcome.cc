#include "engine/belief/outcome.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>

#include "engine/belief/question_trees.h"
#include "engine/belief/twin.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"
#include "engine/text/at_once.h"

namespace gearwhy {
namespace {

constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();
constexpr double kMostEntries = 2.4e7;  // of a tree, which is only passed upwards, a few times

// A network with its questions, as it is or with some faults taken away from what was seen present.
struct Side {
  Network network;
  std::vector<Question> questions;
  // Logarithms of the chances of reports that the network cannot move: of those it had, and by question and
  // answer.
  double logp_reports = 0;
  std::vector<std::vector<double>> logp_answers = {};
};

Side AsItIs(const Network& network, const std::vector<Question>& questions) {
  Side side = {network, questions};
  for (const Question& question : questions) side.logp_answers.emplace_back(question.size(), 0.0);
  return side;
}

Twin TwinOf(const Network& network, const std::vector<char>& is_off, const std::vector<Question>& questions) {
  Twin::Wanted wanted;
  const auto want = [&](const std::vector<Report>& reports) {
    for (const Report& report : reports) {
      if (!report.left_out) (report.present ? wanted.kept : wanted.whole).push_back(report.event);
    }
  };
  want(network.reports);
  for (const Question& question : questions) {
    for (const Posed& answer : question) {
      want(answer.reports);
      want(answer.reweighed);
    }
  }
  return Twin(network, is_off, wanted);
}

Side Without(const Network& network, const std::vector<char>& is_off,
             const std::vector<Question>& questions) {
  const Twin twin = TwinOf(network, is_off, questions);
  const auto without = [&](const std::vector<Report>& reports, double& logp) {
    std::vector<Report> here;
    for (Report report : reports) {
      if (report.present && !report.left_out) report.event = twin.Kept(report.event);
      if (report.event == Twin::kNever) {
        logp += std::log(report.p_if_absent);
      } else {
        here.push_back(std::move(report));
      }
    }
    return here;
  };
  Side side = {twin.network(), questions};
  side.network.reports = without(network.reports, side.logp_reports);
  for (Question& question : side.questions) {
    side.logp_answers.emplace_back(question.size(), 0.0);
    for (std::size_t a = 0; a < question.size(); ++a) {
      question[a].reports = without(question[a].reports, side.logp_answers.back()[a]);
      question[a].reweighed = without(question[a].reweighed, side.logp_answers.back()[a]);
    }
  }
  return side;
}

// Of one side: logarithms of how likely everything is that was reported.
struct Logs {
  double now = kMinusInfinity;
  std::vector<double> posed;  // by answer: with it, but without what it reweighs
  std::vector<double> then;   // and with that
};

Logs Ask(const Side& side, std::size_t question, CompiledNetwork& tree) {
  Logs logs;
  logs.now = side.logp_reports + tree.LogChance({});
  for (std::size_t a = 0; a < side.questions[question].size(); ++a) {
    const Posed& answer = side.questions[question][a];
    std::vector<Supposition> supposed;
    const auto suppose = [&](const std::vector<Report>& reports) {
      for (const Report& report : reports)
        supposed.push_back({report.event, report.p_if_absent, report.p_if_present});
    };
    const double logp = side.logp_reports + side.logp_answers[question][a];
    suppose(answer.reports);
    logs.posed.push_back(logp + tree.LogChance(supposed));
    suppose(answer.reweighed);
    logs.then.push_back(answer.reweighed.empty() ? logs.posed.back() : logp + tree.LogChance(supposed));
  }
  return logs;
}

// A network in one of its worlds is seen from three sides.
enum Which { kAsItIs, kWithoutFaults, kWithoutMarked };
constexpr std::size_t kSides = 3;

// Only of what bears on reports and questions.
std::array<Side, kSides> SidesOf(const Network& network, const std::vector<char>& is_marked,
                                 const std::vector<Question>& questions) {
  std::vector<int> asked;
  for (const Question& question : questions) {
    const std::vector<int> of_this = AskedOf(question);
    asked.insert(asked.end(), of_this.begin(), of_this.end());
  }
  const Ancestry part = AncestorsOfReports(network, asked);
  std::vector<Question> in_part = questions;
  for (Question& question : in_part) {
    for (Posed& answer : question) {
      for (Report& report : answer.reports) report.event = part.index_of[At(report.event)];
      for (Report& report : answer.reweighed) report.event = part.index_of[At(report.event)];
    }
  }
  std::vector<char> is_fault(part.kept.size(), 0), is_off(part.kept.size(), 0);
  for (std::size_t i = 0; i < part.kept.size(); ++i) {
    if (part.network.events[i].type != EventType::kFault) continue;
    is_fault[i] = 1;
    is_off[i] = is_marked[At(part.kept[i])];
  }
  return {AsItIs(part.network, in_part), Without(part.network, is_fault, in_part),
          Without(part.network, is_off, in_part)};
}

// A question in one world, by side.
using InOneWorld = std::array<Logs, kSides>;

std::optional<Outcome> OutcomeIn(const InOneWorld& logs, std::size_t answer) {
  const double logp = logs[kAsItIs].then[answer];
  if (!std::isfinite(logp)) return std::nullopt;
  const auto share = [&](Which side) { return -std::expm1(logs[side].then[answer] - logp); };
  const double any = share(kWithoutFaults), marked = share(kWithoutMarked);
  if (std::isnan(any) || std::isnan(marked)) return std::nullopt;  // too few digits are left (asked_tree.h)
  Outcome outcome;
  outcome.any = std::max(0.0, any);
  outcome.marked = std::min(outcome.any, std::max(0.0, marked));
  return outcome;
}

// An answer over the worlds, by their shares after it.
std::optional<Outcome> SumOver(const std::vector<double>& shares, const std::vector<InOneWorld>& in_world,
                               std::size_t answer) {
  if (in_world.size() == 1) return OutcomeIn(in_world.front(), answer);
  Outcome sum;
  for (std::size_t w = 0; w < shares.size(); ++w) {
    const std::optional<Outcome> one = OutcomeIn(in_world[w], answer);
    if (shares[w] <= 0 || !one) continue;
    sum.any += shares[w] * one->any;
    sum.marked += shares[w] * one->marked;
  }
  return sum;
}

std::vector<OutcomeAfter> Join(const std::vector<double>& weights, const std::vector<InOneWorld>& in_world) {
  const auto over_worlds = [&](const auto& logp_in) {
    std::vector<double> logp;
    for (const InOneWorld& one : in_world) logp.push_back(logp_in(one[kAsItIs]));
    return SharesOf(weights, logp);
  };
  const double logp_now = over_worlds([](const Logs& one) { return one.now; }).logp;
  std::vector<OutcomeAfter> outcomes(in_world.front()[kAsItIs].then.size());
  for (std::size_t a = 0; a < outcomes.size(); ++a) {
    const double logp_posed = over_worlds([a](const Logs& one) { return one.posed[a]; }).logp;
    if (!std::isfinite(logp_posed)) continue;
    outcomes[a].p = std::exp(logp_posed - logp_now);
    const WorldShares then = over_worlds([a](const Logs& one) { return one.then[a]; });
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
  std::vector<std::array<Side, kSides>> sides(worlds);
  AtOnce(worlds, [&](std::size_t w) { sides[w] = SidesOf(*networks[w], is_marked, questions); });
  std::vector<std::vector<Group>> by_side(worlds * kSides);  // world by world
  AtOnce(by_side.size(), [&](std::size_t s) {
    const Side& side = sides[s / kSides][s % kSides];
    by_side[s] = GroupsOf(side.network, side.questions, limits, kMostEntries);
  });
  std::vector<std::vector<Group>*> groups;
  for (std::vector<Group>& of_side : by_side) groups.push_back(&of_side);
  const std::vector<char> is_asked =
      AreWithin(limits.answer_work * static_cast<double>(worlds), questions, groups);
  // By question, then by world.
  std::vector<std::vector<InOneWorld>> found(questions.size(), std::vector<InOneWorld>(worlds));
  std::vector<std::pair<std::size_t, Group*>> tasks;  // by side
  for (std::size_t s = 0; s < by_side.size(); ++s) {
    for (Group& group : by_side[s]) tasks.emplace_back(s, &group);
  }
  AtOnce(tasks.size(), [&](std::size_t t) {
    const auto [s, group] = tasks[t];
    std::erase_if(group->questions, [&](std::size_t q) { return is_asked[q] == 0; });
    if (!group->questions.empty() && group->tree->Build()) {
      for (const std::size_t q : group->questions)
        found[q][s / kSides][s % kSides] = Ask(sides[s / kSides][s % kSides], q, *group->tree);
    }
    group->tree.reset();
  });
  std::vector<std::vector<OutcomeAfter>> outcomes(questions.size());
  for (std::size_t q = 0; q < questions.size(); ++q) {
    if (is_asked[q] != 0) outcomes[q] = Join(weights, found[q]);
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
