#include "engine/belief/answers.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <memory>

#include "engine/belief/compiled_network.h"
#include "engine/text/at.h"
#include "engine/text/at_once.h"

namespace gearwhy {
namespace {

constexpr double kRarest = 1e-9;      // an answer rarer than this is taken to change nothing
constexpr double kPassesOfATree = 3;  // what making it takes

Answers NothingLearnt(const EventChances& now, const Question& question) {
  Answers answers;
  answers.answers.assign(question.size(), {0, now});
  answers.rest = {1, now};
  return answers;
}

// The events that any answer reports.
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

Answers Ask(CompiledNetwork& tree, const std::vector<char>& has_causes, const EventChances& now,
            const Question& question) {
  const double logp_now = tree.LogChance({});
  if (!std::isfinite(logp_now)) return NothingLearnt(now, question);
  // What follows from the faults asked about, and bears on nothing, moves with them: not worked out.
  EventChances unmoved = now;
  for (size_t e = 0; e < unmoved.p_event.size(); ++e) {
    const bool outside = tree.place(static_cast<int>(e)) == CompiledNetwork::Place::kOutside;
    if (outside && has_causes[e] != 0) unmoved.p_event[e] = std::numeric_limits<double>::quiet_NaN();
  }
  Answers all;
  for (const Posed& posed : question) {
    std::vector<Supposition> suppositions;
    const auto suppose = [&](const std::vector<Report>& reports) {
      for (const Report& report : reports)
        suppositions.push_back({report.event, report.p_if_absent, report.p_if_present});
    };
    suppose(posed.reports);
    double logp = posed.reweighed.empty() ? 0 : tree.LogChance(suppositions);
    suppose(posed.reweighed);
    Answer answer{0, unmoved};
    const double logp_then = tree.Solve(suppositions, false, &answer.then.p_event, &answer.then.p_by_itself);
    if (posed.reweighed.empty()) logp = logp_then;
    answer.p = std::isfinite(logp_then) ? std::exp(logp - logp_now) : 0;
    if (!(answer.p >= kRarest)) answer = {0, now};
    all.answers.push_back(std::move(answer));
  }
  all.rest = RestOf(now, all.answers);
  return all;
}

}  // namespace

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
    std::vector<Answers> then =
        ComputeAnswers(without, {chances.p_event, chances.p_by_itself}, again, limits);
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
  std::vector<std::unique_ptr<CompiledNetwork>> trees(questions.size());
  AtOnce(questions.size(), [&](size_t q) {
    CompiledNetwork::Options options;
    options.asked = AskedOf(questions[q]);
    trees[q] = std::make_unique<CompiledNetwork>(network, limits, options);
  });
  double left = limits.answer_work;  // numbers that may still be summed over
  for (size_t q = 0; q < questions.size(); ++q) {
    const double work = (kPassesOfATree + static_cast<double>(questions[q].size())) * trees[q]->entries();
    if (trees[q]->fits() && work <= left && IsFinite(questions[q])) {
      left -= work;
    } else {
      trees[q].reset();
    }
  }
  std::vector<char> has_causes;
  for (const Event& event : network.events) has_causes.push_back(!event.causes.empty());
  std::vector<Answers> all(questions.size());
  AtOnce(questions.size(), [&](size_t q) {
    if (trees[q] != nullptr && trees[q]->Build()) {
      all[q] = Ask(*trees[q], has_causes, now, questions[q]);
    } else {
      all[q] = NothingLearnt(now, questions[q]);
      all[q].exact = false;
    }
    trees[q].reset();
  });
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
