// Answers of checks against brute force, and the bits they tell against a published example.
#include "engine/belief/answers.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// Quinlan 1986 and Mitchell, Machine Learning, decision trees: 14 days, 9 of them good for play. A fault that
// is there on 9 of 14 days, and a test for it that says yes as often as the day is windy or humid; gains
// 0.048 and 0.152 bits.
TEST_CASE("the bits that an answer tells are the information gain of the published example") {
  const auto gain = [](double p_yes_if_play, double p_yes_if_not) {
    Network network;
    network.events.push_back({"play", EventType::kFault, 9.0 / 14, {}});
    network.events.push_back({"seen", EventType::kFinding, 0, {{0, 1.0}}});
    const Chances chances = ComputeChances(network);
    const EventChances now = {chances.p_event, chances.p_by_itself};
    const Question question = {{{1, true, p_yes_if_play, p_yes_if_not}},
                               {{1, false, 1 - p_yes_if_play, 1 - p_yes_if_not}}};
    const std::vector<Answers> answers = ComputeAnswers(network, now, {question});
    return BitsAbout({0}, now, answers[0]);
  };
  CHECK(BinaryEntropy(9.0 / 14) == Approx(0.940).margin(0.0005));
  CHECK(gain(3.0 / 9, 3.0 / 5) == Approx(0.048).margin(0.0005));  // strong wind
  CHECK(gain(3.0 / 9, 4.0 / 5) == Approx(0.152).margin(0.0005));  // high humidity
}

// One finding alone, or none of them, each reported with limited trust.
Question EachAlone(const std::vector<Report>& asked) {
  Question question(asked.size() + 1);
  for (std::size_t a = 0; a < question.size(); ++a) {
    for (std::size_t i = 0; i < asked.size(); ++i) {
      Report report = asked[i];
      report.present = i == a;
      if (i != a) {
        report.p_if_present = 1 - report.p_if_present;
        report.p_if_absent = 1 - report.p_if_absent;
      }
      question[a].reports.push_back(report);
    }
  }
  return question;
}

TEST_CASE("every answer equals brute force over the network with the answer's reports added") {
  std::mt19937 random(20);
  int compared = 0, several = 0, with_rest = 0, reweighed = 0;
  for (int trial = 0; trial < 400; ++trial) {
    INFO("trial " << trial);
    RandomShape shape;
    shape.faults = 1 + static_cast<int>(random() % 4);
    shape.states = static_cast<int>(random() % 4);
    shape.findings = 2 + static_cast<int>(random() % 3);
    shape.reports = static_cast<int>(random() % 3);
    const Network network = RandomNetwork(random, shape);
    const BruteForce truth = AddUpEverything(network);
    if (!std::isfinite(truth.logp_reports)) continue;
    std::vector<Report> asked;
    for (std::size_t i = 0; i < network.events.size() && asked.size() < 3; ++i) {
      const bool reported =
          std::any_of(network.reports.begin(), network.reports.end(),
                      [&](const Report& report) { return report.event == static_cast<int>(i); });
      if (network.events[i].type != EventType::kFinding || reported) continue;
      asked.push_back({static_cast<int>(i), true, 0.7 + 0.1 * static_cast<double>(random() % 4),
                       0.05 * static_cast<double>(random() % 3)});
    }
    if (asked.empty()) continue;
    several += asked.size() > 1;
    Question question = EachAlone(asked);
    // In every other trial the answers make an earlier report weigh otherwise.
    if (trial % 2 == 0 && !network.reports.empty()) {
      Report changed = network.reports.front();
      changed.p_if_present = 0.3 + 0.1 * static_cast<double>(random() % 10);
      changed.p_if_absent = 0.3 + 0.1 * static_cast<double>(random() % 10);
      question.front().reweighed = {changed};
      ++reweighed;
    }
    const Chances chances = ComputeChances(network);
    const Answers answers =
        ComputeAnswers(network, {chances.p_event, chances.p_by_itself}, {question}).front();
    REQUIRE(answers.answers.size() == question.size());
    CHECK(answers.exact);

    double p_rest = 1;
    std::vector<double> joint_rest = truth.p_event;
    for (std::size_t a = 0; a < question.size(); ++a) {
      INFO("answer " << a);
      Network answered = network;
      const std::vector<Report>& written = question[a].reports;
      answered.reports.insert(answered.reports.end(), written.begin(), written.end());
      BruteForce then = AddUpEverything(answered);
      const double p =
          std::isfinite(then.logp_reports) ? std::exp(then.logp_reports - truth.logp_reports) : 0;
      for (const Report& factor : question[a].reweighed) {
        answered.reports.front().p_if_present *= factor.p_if_present;
        answered.reports.front().p_if_absent *= factor.p_if_absent;
        then = AddUpEverything(answered);
      }
      const Answer& answer = answers.answers[a];
      CHECK(std::abs(answer.p - p) < 1e-9);
      p_rest -= p;
      for (std::size_t e = 0; e < network.events.size(); ++e) {
        joint_rest[e] -= p * then.p_event[e];
        if (p < 1e-6 || std::isnan(answer.then.p_event[e])) continue;
        INFO("event " << e);
        CHECK(std::abs(answer.then.p_event[e] - then.p_event[e]) < 1e-9);
        if (!std::isnan(answer.then.p_by_itself[e]))
          CHECK(std::abs(answer.then.p_by_itself[e] - then.p_by_itself[e]) < 1e-9);
        ++compared;
      }
    }
    CHECK(std::abs(answers.rest.p - p_rest) < 1e-9);
    if (p_rest < 1e-4 || !question.front().reweighed.empty()) continue;
    ++with_rest;
    for (std::size_t e = 0; e < network.events.size(); ++e) {
      const bool is_asked = std::any_of(asked.begin(), asked.end(), [&](const Report& report) {
        return report.event == static_cast<int>(e);
      });
      if (is_asked || std::isnan(answers.rest.then.p_event[e])) continue;
      CHECK(std::abs(answers.rest.then.p_event[e] - joint_rest[e] / p_rest) < 1e-6);
    }
  }
  CHECK(several > 100);
  CHECK(with_rest > 20);
  CHECK(reweighed > 50);
  CHECK(compared > 1500);
}

TEST_CASE("an answer that takes a report back: as likely as with it, and then as without it") {
  std::mt19937 random(21);
  int compared = 0;
  for (int trial = 0; trial < 200; ++trial) {
    INFO("trial " << trial);
    RandomShape shape;
    shape.faults = 2 + static_cast<int>(random() % 3);
    shape.states = static_cast<int>(random() % 3);
    shape.findings = 3;
    shape.reports = 2;
    const Network network = RandomNetwork(random, shape);
    const BruteForce truth = AddUpEverything(network);
    if (!std::isfinite(truth.logp_reports) || network.reports.empty()) continue;
    int asked = -1;
    for (std::size_t i = 0; i < network.events.size(); ++i) {
      const bool reported =
          std::any_of(network.reports.begin(), network.reports.end(),
                      [&](const Report& report) { return report.event == static_cast<int>(i); });
      if (network.events[i].type == EventType::kFinding && !reported) asked = static_cast<int>(i);
    }
    if (asked < 0) continue;
    const int back = network.reports.front().event;
    Question question(2);
    question[0].reports = {{asked, true, 0.9, 0.1}};
    question[1].reports = {{asked, false, 0.1, 0.9}};
    question[0].taken_back = {back};
    const Chances chances = ComputeChances(network);
    const Answers answers =
        ComputeAnswers(network, {chances.p_event, chances.p_by_itself}, {question}).front();
    Network with = network, without = network;
    with.reports.push_back(question[0].reports.front());
    std::erase_if(without.reports, [&](const Report& report) { return report.event == back; });
    without.reports.push_back(question[0].reports.front());
    const double p = std::exp(AddUpEverything(with).logp_reports - truth.logp_reports);
    const BruteForce then = AddUpEverything(without);
    CHECK(std::abs(answers.answers[0].p - p) < 1e-9);
    if (p < 1e-6) continue;
    for (std::size_t e = 0; e < network.events.size(); ++e) {
      if (std::isnan(answers.answers[0].then.p_event[e])) continue;
      CHECK(std::abs(answers.answers[0].then.p_event[e] - then.p_event[e]) < 1e-9);
      ++compared;
    }
  }
  CHECK(compared > 300);
}

// Forty faults, each with many effects that have been seen, and eight findings that nobody has looked at.
struct Wide {
  Network network;
  std::vector<Question> questions;
  EventChances now;

  explicit Wide(std::mt19937& random) {
    const auto uniform = [&] { return std::uniform_real_distribution<double>(0.02, 0.9)(random); };
    constexpr int kFaults = 40;
    for (int i = 0; i < kFaults; ++i) network.events.push_back({"fault", EventType::kFault, 0.05, {}});
    for (int i = 0; i < 24; ++i) {
      Event seen{"seen", EventType::kFinding, 0.01, {}};
      for (int c = 0; c < kFaults; ++c) {
        if (random() % 8 == 0) seen.causes.push_back({c, uniform()});
      }
      network.reports.push_back({static_cast<int>(network.events.size()), true, 0.9, 0.2});
      network.events.push_back(seen);
    }
    for (int i = 0; i < 8; ++i) {
      questions.push_back(EachAlone({{static_cast<int>(network.events.size()), true, 0.9, 0.05}}));
      network.events.push_back({"asked", EventType::kFinding, 0.01, {{i, uniform()}, {i + 1, uniform()}}});
    }
    const Chances chances = ComputeChances(network);
    now = {chances.p_event, chances.p_by_itself};
  }
};

void CheckSame(const Answers& answers, const Answers& others) {
  REQUIRE(answers.answers.size() == others.answers.size());
  for (std::size_t a = 0; a < answers.answers.size(); ++a) {
    CHECK(std::abs(answers.answers[a].p - others.answers[a].p) < 1e-9);
    const std::vector<double>& then = answers.answers[a].then.p_event;
    for (std::size_t e = 0; e < then.size(); ++e) {
      if (std::isnan(then[e]) || std::isnan(others.answers[a].then.p_event[e])) continue;
      REQUIRE(std::abs(then[e] - others.answers[a].then.p_event[e]) < 1e-9);
    }
  }
}

TEST_CASE(
    "questions asked together, on several threads or of several trees, are answered as each by itself") {
  std::mt19937 random(3);
  for (int trial = 0; trial < 4; ++trial) {
    INFO("trial " << trial);
    const Wide wide(random);
    BeliefLimits no_limit;
    no_limit.answer_work = 1e12;
    const std::vector<Answers> together = ComputeAnswers(wide.network, wide.now, wide.questions, no_limit);
    for (std::size_t q = 0; q < wide.questions.size(); ++q) {
      INFO("question " << q);
      REQUIRE(together[q].exact);
      CheckSame(together[q], ComputeAnswers(wide.network, wide.now, {wide.questions[q]}, no_limit).front());
    }
  }
}

TEST_CASE("the more work is allowed, the more questions are answered, and what is answered is the same") {
  std::mt19937 random(4);
  for (int trial = 0; trial < 4; ++trial) {
    INFO("trial " << trial);
    const Wide wide(random);
    BeliefLimits limits;
    limits.answer_work = 1e12;
    const std::vector<Answers> all = ComputeAnswers(wide.network, wide.now, wide.questions, limits);
    int some = 0;
    int last = 0;
    for (double work = 1e3; work < 1e9; work *= 2) {
      INFO("work " << work);
      limits.answer_work = work;
      const std::vector<Answers> answers = ComputeAnswers(wide.network, wide.now, wide.questions, limits);
      int exact = 0;
      for (std::size_t q = 0; q < answers.size(); ++q) {
        exact += answers[q].exact;
        if (answers[q].exact) CheckSame(answers[q], all[q]);
      }
      CHECK(exact >= last);
      some += exact > 0 && exact < 8;
      last = exact;
    }
    CHECK(some > 0);
    CHECK(last == 8);
  }
}

}  // namespace
}  // namespace gearwhy
