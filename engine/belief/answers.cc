#include "engine/belief/answers.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <memory>

#include "engine/belief/question_trees.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"
#include "engine/text/at_once.h"

namespace gearwhy {
namespace {

constexpr double kRarest = 1e-9;  // an answer rarer than this is taken to change nothing

// Without what it is in each world.
EventChances Unworldly(const EventChances& now) { return {now.p_event, now.p_by_itself}; }

Answers NothingLearnt(const EventChances& now, const Question& question) {
  Answers answers;
  answers.answers.assign(question.size(), {0, Unworldly(now)});
  answers.rest = {1, Unworldly(now)};
  return answers;
}

// Whatever is not in the list: `rest` of 1, and of every joint chance.
Answer RestOf(const EventChances& now, const std::vector<Answer>& answers) {
  Answer rest{1, now};
  for (const Answer& answer : answers) rest.p -= answer.p;
  if (rest.p < kRarest) return {0, now};
  const auto left = [&](std::vector<double> EventChances::*chances) {
    for (size_t e = 0; e < (now.*chances).size(); ++e) {
      double joint = (now.*chances)[e];
      for (const Answer& answer : answers) joint -= answer.p * (answer.then.*chances)[e];
      if (!std::isnan(joint)) (rest.then.*chances)[e] = std::clamp(joint / rest.p, 0.0, 1.0);
    }
  };
  left(&EventChances::p_event);
  left(&EventChances::p_by_itself);
  return rest;
}

bool IsFinite(const Question& question) {
  for (const Posed& answer : question) {
    for (const Report& report : answer.reweighed) {
      if (!std::isfinite(report.p_if_present) || !std::isfinite(report.p_if_absent)) return false;
    }
  }
  return true;
}

// The network in one of its worlds, or as it is where there are none.
struct World {
  const Network* network = nullptr;
  const EventChances* now = nullptr;
  double share = 1;  // now
  std::vector<char> has_causes;
};

// One answer in one world.
struct WorkedOut {
  Answer answer;
  double p_then = 0;  // as `answer.p`, but with what it reweighs: how it moves the world
};

// What follows from the faults asked about, and neither bears on a report nor on what is asked, moves with
// them and is not worked out; the tree may hold some of that for other questions. `bears`: by event.
std::vector<WorkedOut> AskIn(const World& world, CompiledNetwork& tree, const std::vector<char>& bears,
                             bool ends, const Question& question) {
  const double logp_now = tree.LogChance({});
  if (!std::isfinite(logp_now))
    return std::vector<WorkedOut>(question.size(), {{0, Unworldly(*world.now)}, 0});
  const EventChances unmoved{world.now->p_event, world.now->p_by_itself};
  std::vector<WorkedOut> all;
  for (const Posed& posed : question) {
    std::vector<Supposition> suppositions;
    const auto suppose = [&](const std::vector<Report>& reports) {
      for (const Report& report : reports)
        suppositions.push_back({report.event, report.p_if_absent, report.p_if_present});
    };
    suppose(posed.reports);
    double logp = posed.reweighed.empty() ? 0 : tree.LogChance(suppositions);
    suppose(posed.reweighed);
    WorkedOut one{{0, unmoved}, 0};
    const double logp_then =
        tree.Solve(suppositions, ends, &one.answer.then.p_event, &one.answer.then.p_by_itself);
    if (posed.reweighed.empty()) logp = logp_then;
    for (size_t e = 0; e < bears.size(); ++e) {
      const bool is_outside = tree.place(static_cast<int>(e)) == CompiledNetwork::Place::kOutside;
      if ((bears[e] == 0 || is_outside) && world.has_causes[e] != 0)
        one.answer.then.p_event[e] = std::numeric_limits<double>::quiet_NaN();
    }
    if (std::isfinite(logp_then)) {
      one.answer.p = std::exp(logp - logp_now);
      one.p_then = std::exp(logp_then - logp_now);
    }
    all.push_back(std::move(one));
  }
  return all;
}

// One answer, over the worlds.
Answer SumOver(const std::vector<World>& worlds, const std::vector<WorkedOut*>& in_world) {
  if (worlds.size() == 1) return std::move(in_world.front()->answer);
  Answer sum;
  double p_then = 0;
  for (size_t w = 0; w < worlds.size(); ++w) {
    sum.p += worlds[w].share * in_world[w]->answer.p;
    p_then += worlds[w].share * in_world[w]->p_then;
  }
  const size_t count = worlds.front().now->p_event.size();
  sum.then = {std::vector<double>(count, 0), std::vector<double>(count, 0)};
  for (size_t w = 0; w < worlds.size(); ++w) {
    const double share = worlds[w].share * in_world[w]->p_then / p_then;
    if (!(share > 0)) continue;
    AddShare(share, in_world[w]->answer.then.p_event, sum.then.p_event);
    AddShare(share, in_world[w]->answer.then.p_by_itself, sum.then.p_by_itself);
  }
  return sum;
}

Answers Join(const EventChances& now, const Question& question, const std::vector<World>& worlds,
             std::vector<std::vector<WorkedOut>> in_world) {
  Answers all;
  for (size_t a = 0; a < question.size(); ++a) {
    std::vector<WorkedOut*> each;
    for (auto& one : in_world) each.push_back(&one[a]);
    Answer answer = SumOver(worlds, each);
    if (!(answer.p >= kRarest)) answer = {0, Unworldly(now)};
    all.answers.push_back(std::move(answer));
  }
  all.rest = RestOf(Unworldly(now), all.answers);
  return all;
}

// The targets that a world's tree needs so that it answers for what another's does.
std::vector<int> TargetsIn(const Network& world, const std::vector<char>& bears,
                           const std::vector<int>& asked) {
  std::vector<int> targets;
  const std::vector<char> here = BearsOnReports(world, asked);
  for (size_t e = 0; e < here.size(); ++e) {
    if (bears[e] != 0 && here[e] == 0 && !world.events[e].causes.empty())
      targets.push_back(static_cast<int>(e));
  }
  return targets;
}

std::vector<World> WorldsOf(const Network& network, const EventChances& now, std::vector<Network>& networks) {
  std::vector<World> worlds;
  if (network.worlds.empty()) worlds.push_back({&network, &now, 1, {}});
  networks.reserve(network.worlds.size());
  for (size_t w = 0; w < network.worlds.size(); ++w) {
    if (now.p_world[w] <= 0) continue;
    networks.push_back(InWorld(network, w));
    worlds.push_back({&networks.back(), &now.in_world[w], now.p_world[w], {}});
  }
  for (World& world : worlds) {
    for (const Event& event : world.network->events) world.has_causes.push_back(!event.causes.empty());
  }
  return worlds;
}

}  // namespace

EventChances EventChancesOf(const Chances& chances) {
  EventChances events{chances.p_event, chances.p_by_itself, chances.p_world, {}};
  for (const Chances& one : chances.in_world) events.in_world.push_back(EventChancesOf(one));
  return events;
}

std::vector<int> AskedOf(const Question& question) {
  std::vector<int> asked;
  for (const Posed& answer : question) {
    for (const Report& report : answer.reports) asked.push_back(report.event);
    for (const Report& report : answer.reweighed) asked.push_back(report.event);
  }
  std::sort(asked.begin(), asked.end());
  asked.erase(std::unique(asked.begin(), asked.end()), asked.end());
  return asked;
}

Network WithoutReportsOf(const Network& network, const std::vector<int>& events) {
  Network without = network;
  std::erase_if(without.reports, [&](const Report& report) {
    return std::find(events.begin(), events.end(), report.event) != events.end();
  });
  return without;
}

namespace {

// What is then, of the answers that take earlier reports back: that of the network without these.
void TakeBack(const Network& network, const std::vector<Question>& questions, const BeliefLimits& limits,
              std::vector<Answers>& all) {
  std::map<std::vector<int>, std::vector<std::pair<size_t, size_t>>> by_taken_back;  // question, answer
  for (size_t q = 0; q < questions.size(); ++q) {
    for (size_t a = 0; a < questions[q].size() && all[q].exact; ++a) {
      if (!questions[q][a].taken_back.empty()) by_taken_back[questions[q][a].taken_back].emplace_back(q, a);
    }
  }
  for (const auto& [events, answers] : by_taken_back) {
    const Network without = WithoutReportsOf(network, events);
    std::vector<Question> again;
    for (const auto& [q, a] : answers) {
      again.push_back({questions[q][a]});
      again.back().front().taken_back.clear();
    }
    const Chances chances = ComputeChances(without, limits);
    std::vector<Answers> then = ComputeAnswers(without, EventChancesOf(chances), again, limits);
    for (size_t i = 0; i < answers.size(); ++i) {
      const auto& [q, a] = answers[i];
      all[q].exact = all[q].exact && then[i].exact;
      if (all[q].answers[a].p > 0) all[q].answers[a].then = std::move(then[i].answers.front().then);
    }
  }
}

}  // namespace

std::vector<Answers> ComputeAnswers(const Network& network, const EventChances& now,
                                    const std::vector<Question>& questions, const BeliefLimits& limits) {
  std::vector<Network> networks;
  const std::vector<World> worlds = WorldsOf(network, now, networks);
  const bool several = worlds.size() > 1;
  std::vector<std::vector<Group>> in_worlds(worlds.size());
  AtOnce(worlds.size(), [&](size_t w) {
    const Network& world = *worlds[w].network;
    const auto targets_for = [&](const std::vector<int>& asked) {
      return TargetsIn(world, BearsOnReports(network, asked), asked);
    };
    in_worlds[w] = GroupsOf(world, questions, limits, CompiledNetwork::Options().max_entries,
                            several ? TargetsFor(targets_for) : TargetsFor());
  });
  std::vector<std::vector<Group>*> groups;
  for (std::vector<Group>& of_world : in_worlds) groups.push_back(&of_world);
  const std::vector<char> is_asked =
      AreWithin(limits.answer_work * static_cast<double>(worlds.size()), questions, groups);
  std::vector<std::pair<size_t, Group*>> tasks;  // by world
  for (size_t w = 0; w < worlds.size(); ++w) {
    for (Group& group : in_worlds[w]) tasks.emplace_back(w, &group);
  }
  std::vector<std::vector<std::vector<WorkedOut>>> found(questions.size());  // by question, then by world
  for (auto& of_question : found) of_question.resize(worlds.size());
  AtOnce(tasks.size(), [&](size_t t) {
    const auto [w, group] = tasks[t];
    std::erase_if(group->questions, [&](size_t q) { return is_asked[q] == 0; });
    if (!group->questions.empty() && group->tree->Build()) {
      for (const size_t q : group->questions)
        found[q][w] = AskIn(worlds[w], *group->tree, BearsOnReports(network, AskedOf(questions[q])), several,
                            questions[q]);
    }
    group->tree.reset();
  });
  std::vector<Answers> all(questions.size());
  for (size_t q = 0; q < questions.size(); ++q) {
    const bool is_known =
        std::none_of(found[q].begin(), found[q].end(), [](const auto& one) { return one.empty(); });
    if (is_known && IsFinite(questions[q])) {
      all[q] = Join(now, questions[q], worlds, std::move(found[q]));
    } else {
      all[q] = NothingLearnt(now, questions[q]);
      all[q].exact = false;
    }
  }
  TakeBack(network, questions, limits, all);
  return all;
}

double BinaryEntropy(double p) {
  if (!(p > 0 && p < 1)) return 0;
  return -p * std::log2(p) - (1 - p) * std::log2(1 - p);
}

double BitsAbout(const std::vector<int>& events, const EventChances& now, const Answers& answers) {
  double bits = 0;
  for (const int event : events) {
    const auto unknown = [&](const Answer& answer) { return std::isnan(answer.then.p_event[At(event)]); };
    if (std::isnan(now.p_event[At(event)]) ||
        std::any_of(answers.answers.begin(), answers.answers.end(), unknown))
      continue;
    double left = answers.rest.p * BinaryEntropy(answers.rest.then.p_event[At(event)]);
    for (const Answer& answer : answers.answers)
      left += answer.p * BinaryEntropy(answer.then.p_event[At(event)]);
    bits += BinaryEntropy(now.p_event[At(event)]) - left;
  }
  return std::max(0.0, bits);
}

}  // namespace gearwhy
