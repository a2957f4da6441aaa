// Networks with worlds: every question against brute force over the worlds and all their events, and against
// one world alone.
#include "engine/belief/worlds.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "engine/belief/accounts.h"
#include "engine/belief/answers.h"
#include "engine/belief/outcome.h"
#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

double Uniform(std::mt19937& random) { return std::uniform_real_distribution<double>(0, 1)(random); }

// Plain networks under one numbering, and what they are together.
struct Mixture {
  std::vector<double> weights;
  std::vector<Network> plain;
  Network joined;
};

// One number for each world: nothing where all agree.
template <typename Get>
std::vector<double> Differing(const std::vector<Network>& plain, Get get) {
  std::vector<double> values;
  for (const Network& one : plain) values.push_back(get(one));
  const bool agree = std::all_of(values.begin(), values.end(), [&](double v) { return v == values.front(); });
  return agree ? std::vector<double>{} : values;
}

Network Join(const std::vector<double>& weights, const std::vector<Network>& plain) {
  Network joined = plain.front();
  joined.worlds = weights;
  for (std::size_t i = 0; i < joined.events.size(); ++i) {
    Event& event = joined.events[i];
    event.in_world = Differing(plain, [&](const Network& one) { return one.events[i].p_unexplained; });
    if (!event.in_world.empty()) {
      event.p_unexplained = 0;
      for (std::size_t w = 0; w < weights.size(); ++w) event.p_unexplained += weights[w] * event.in_world[w];
    }
    for (std::size_t k = 0; k < event.causes.size(); ++k) {
      Cause& cause = event.causes[k];
      cause.in_world =
          Differing(plain, [&](const Network& one) { return one.events[i].causes[k].p_how_often; });
      for (const double p : cause.in_world) cause.p_how_often = std::max(cause.p_how_often, p);
    }
  }
  for (std::size_t r = 0; r < joined.reports.size(); ++r) {
    for (const Network& one : plain)
      joined.reports[r].in_world.push_back(
          {one.reports[r].p_if_present, one.reports[r].p_if_absent, one.reports[r].present});
  }
  return joined;
}

// What a world may change: an event that it has not, how common one is, a link, what is made of a report.
void Change(Network& network, std::mt19937& random) {
  for (Event& event : network.events) {
    if (random() % 6 == 0) {
      event.p_unexplained = 0;
      for (Cause& cause : event.causes) cause.p_how_often = 0;
    } else if (random() % 3 == 0) {
      event.p_unexplained = 0.3 * Uniform(random);
    }
    for (Cause& cause : event.causes) {
      if (random() % 4 == 0) cause.p_how_often = random() % 2 == 0 ? 0 : Uniform(random);
    }
  }
  for (Report& report : network.reports) {
    if (random() % 3 != 0) continue;
    report.p_if_present = random() % 3 == 0 ? 1 : Uniform(random);
    report.p_if_absent = random() % 5 == 0 ? 0 : Uniform(random);
    report.present = random() % 2 == 0;
  }
}

Mixture RandomMixture(std::mt19937& random) {
  RandomShape shape;
  shape.faults = 1 + static_cast<int>(random() % 4);
  shape.states = static_cast<int>(random() % 4);
  shape.findings = 1 + static_cast<int>(random() % 3);
  shape.reports = static_cast<int>(random() % 4);
  const Network base = RandomNetwork(random, shape);
  Mixture mixture;
  const std::size_t count = 2 + random() % 2;
  double sum = 0;
  for (std::size_t w = 0; w < count; ++w) {
    mixture.weights.push_back(0.05 + Uniform(random));
    sum += mixture.weights.back();
    mixture.plain.push_back(base);
    Change(mixture.plain.back(), random);
  }
  for (double& weight : mixture.weights) weight /= sum;
  mixture.joined = Join(mixture.weights, mixture.plain);
  return mixture;
}

// The law of total probability, over what adding up everything says of each world.
struct Truth {
  std::vector<double> p_world, p_event, p_by_itself;
  double p_reports = 0;
};
Truth AddUp(const std::vector<double>& weights, const std::vector<Network>& plain) {
  Truth truth;
  truth.p_event.assign(plain.front().events.size(), 0);
  truth.p_by_itself = truth.p_event;
  for (std::size_t w = 0; w < plain.size(); ++w) {
    const BruteForce one = AddUpEverything(plain[w]);
    truth.p_world.push_back(weights[w] * std::exp(one.logp_reports));
    truth.p_reports += truth.p_world.back();
    for (std::size_t i = 0; i < truth.p_event.size(); ++i) {
      truth.p_event[i] += truth.p_world.back() * one.p_event[i];
      truth.p_by_itself[i] += truth.p_world.back() * one.p_by_itself[i];
    }
  }
  if (truth.p_reports <= 0) return truth;
  for (auto* numbers : {&truth.p_world, &truth.p_event, &truth.p_by_itself}) {
    for (double& number : *numbers) number /= truth.p_reports;
  }
  return truth;
}

BeliefLimits AllEvents() {
  BeliefLimits limits;
  limits.all_events = true;
  limits.answer_work = 1e9;
  return limits;
}

TEST_CASE("chances over worlds are the sums over the worlds and their events") {
  std::mt19937 random(61);
  int moved = 0, impossible = 0;
  for (int trial = 0; trial < 400; ++trial) {
    INFO("trial " << trial);
    const Mixture mixture = RandomMixture(random);
    const Truth truth = AddUp(mixture.weights, mixture.plain);
    const Chances chances = ComputeChances(mixture.joined, AllEvents());
    CHECK(chances.possible == (truth.p_reports > 0));
    REQUIRE(chances.p_world.size() == mixture.weights.size());
    if (truth.p_reports <= 0) {
      ++impossible;
      CHECK(chances.p_world == mixture.weights);
      continue;
    }
    CHECK(std::abs(chances.logp_reports - std::log(truth.p_reports)) < 1e-9);
    for (std::size_t w = 0; w < mixture.weights.size(); ++w) {
      CHECK(std::abs(chances.p_world[w] - truth.p_world[w]) < 1e-9);
      moved += std::abs(chances.p_world[w] - mixture.weights[w]) > 0.1;
    }
    for (std::size_t i = 0; i < truth.p_event.size(); ++i) {
      if (std::isnan(chances.p_event[i])) continue;  // a part that makes way
      CHECK(std::abs(chances.p_event[i] - truth.p_event[i]) < 1e-9);
      CHECK(std::abs(chances.p_by_itself[i] - truth.p_by_itself[i]) < 1e-9);
    }
  }
  CHECK(moved > 100);
  CHECK(impossible > 3);
}

TEST_CASE("where the reports cannot be in any world, the chances are those before them") {
  std::mt19937 random(62);
  int compared = 0;
  for (int trial = 0; trial < 200; ++trial) {
    Mixture mixture = RandomMixture(random);
    if (AddUp(mixture.weights, mixture.plain).p_reports > 0) continue;
    const Chances chances = ComputeChances(mixture.joined, AllEvents());
    for (Network& one : mixture.plain) one.reports.clear();
    const Truth before = AddUp(mixture.weights, mixture.plain);
    for (std::size_t i = 0; i < before.p_event.size(); ++i) {
      if (!std::isnan(chances.p_event[i])) CHECK(std::abs(chances.p_event[i] - before.p_event[i]) < 1e-9);
    }
    ++compared;
  }
  CHECK(compared > 1);
}

TEST_CASE("chances over worlds of which one is too wide are not known") {
  std::mt19937 random(69);
  int unknown = 0;
  for (int trial = 0; trial < 80; ++trial) {
    RandomShape shape;
    shape.faults = shape.findings = shape.reports = 5;
    shape.states = shape.most_causes = 4;
    shape.extremes = trial % 3 == 0;
    Mixture mixture;
    mixture.weights = {0.3, 0.7};
    mixture.plain.assign(2, RandomNetwork(random, shape));
    Change(mixture.plain.back(), random);
    mixture.joined = Join(mixture.weights, mixture.plain);
    BeliefLimits limits = AllEvents();
    limits.max_width = 3;
    const Chances chances = ComputeChances(mixture.joined, limits);
    const auto is_exact = [&](const Network& world) { return ComputeChances(world, limits).exact; };
    CHECK(chances.exact == std::all_of(mixture.plain.begin(), mixture.plain.end(), is_exact));
    if (chances.exact) continue;
    ++unknown;
    for (const double p : chances.p_event) CHECK(std::isnan(p));
  }
  CHECK(unknown > 30);
}

TEST_CASE("influence over worlds is the ratio of the summed odds with and without a report") {
  std::mt19937 random(63);
  int compared = 0, beside_any_report = 0;
  for (int trial = 0; trial < 400; ++trial) {
    const Mixture mixture = RandomMixture(random);
    const Truth with = AddUp(mixture.weights, mixture.plain);
    const Influence influence = ComputeInfluence(mixture.joined);
    CHECK(influence.exact);
    const Ancestry ancestry = AncestorsOfReports(mixture.joined);
    for (std::size_t k = 0; k < mixture.joined.reports.size(); ++k) {
      std::vector<Network> fewer = mixture.plain;
      for (Network& one : fewer) one.reports.erase(one.reports.begin() + static_cast<std::ptrdiff_t>(k));
      const Truth without = AddUp(mixture.weights, fewer);
      for (std::size_t i = 0; i < with.p_event.size(); ++i) {
        INFO("trial " << trial << " report " << k << " event " << i);
        const double factor = influence.odds_factor[k][i];
        const Event& event = mixture.joined.events[i];
        const bool is_root = event.type == EventType::kFault && event.causes.empty();
        if (with.p_reports <= 0 || (ancestry.index_of[i] < 0 && !is_root)) {
          CHECK(factor == 1);
          continue;
        }
        const double p = with.p_event[i];
        const double q = without.p_event[i];
        if (p < 1e-12 || p > 1 - 1e-12 || q < 1e-12 || q > 1 - 1e-12) continue;
        CHECK(std::abs(factor / (p / (1 - p) * (1 - q) / q) - 1) < 1e-7);
        ++compared;
        beside_any_report += ancestry.index_of[i] < 0 && std::abs(factor - 1) > 0.01;
      }
    }
  }
  CHECK(compared > 1000);
  CHECK(beside_any_report > 20);
}

// One finding alone, or none, and now and then something that a report made before weighs otherwise after it.
Question AskAbout(const Network& network, std::mt19937& random) {
  std::vector<char> reported(network.events.size(), 0);
  for (const Report& report : network.reports) reported[static_cast<std::size_t>(report.event)] = 1;
  std::vector<int> asked;
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    if (reported[i] == 0 && random() % 2 == 0 && asked.size() < 2) asked.push_back(static_cast<int>(i));
  }
  Question question(asked.size() + 1);
  for (std::size_t a = 0; a < question.size(); ++a) {
    for (std::size_t i = 0; i < asked.size(); ++i) {
      const bool present = i == a;
      question[a].reports.push_back({asked[i], present, present ? 0.9 : 0.1, present ? 0.05 : 0.95});
    }
    if (!network.reports.empty() && random() % 2 == 0)
      question[a].reweighed.push_back({network.reports.front().event, true, 0.8, 0.3});
  }
  return question;
}

TEST_CASE("answers over worlds are the sums over the worlds with the answers' reports") {
  std::mt19937 random(64);
  int compared = 0, reweighed = 0;
  for (int trial = 0; trial < 400; ++trial) {
    const Mixture mixture = RandomMixture(random);
    const Truth now = AddUp(mixture.weights, mixture.plain);
    if (now.p_reports <= 0) continue;
    const Question question = AskAbout(mixture.joined, random);
    const EventChances chances = EventChancesOf(ComputeChances(mixture.joined, AllEvents()));
    const Answers answers = ComputeAnswers(mixture.joined, chances, {question}, AllEvents()).front();
    CHECK(answers.exact);
    for (std::size_t a = 0; a < question.size(); ++a) {
      const auto added = [&](bool reweigh) {
        std::vector<Network> plain = mixture.plain;
        for (Network& one : plain) {
          for (const Report& report : question[a].reports) one.reports.push_back(report);
          if (!reweigh) continue;
          for (const Report& report : question[a].reweighed) one.reports.push_back(report);
        }
        return AddUp(mixture.weights, plain);
      };
      const Truth then = added(true);
      const double p = added(false).p_reports / now.p_reports;
      if (p < 1e-6 || then.p_reports <= 0) continue;
      INFO("trial " << trial << " answer " << a);
      CHECK(std::abs(answers.answers[a].p - p) < 1e-9);
      for (std::size_t i = 0; i < then.p_event.size(); ++i) {
        const double told = answers.answers[a].then.p_event[i];
        if (!std::isnan(told)) CHECK(std::abs(told - then.p_event[i]) < 1e-9);
        ++compared;
      }
      reweighed += !question[a].reweighed.empty();
    }
  }
  CHECK(compared > 2000);
  CHECK(reweighed > 100);
}

TEST_CASE("what an answer tells of any world it tells of all that it bears on") {
  // The link from the fault is there in the second world alone; the answer bears on its effect in both.
  Network joined;
  joined.worlds = {0.5, 0.5};
  joined.events.push_back({"fault", EventType::kFault, 0.2, {}});
  joined.events.push_back({"state", EventType::kState, 0.1, {{0, 0.9}}});
  joined.events.push_back({"seen", EventType::kFinding, 0.05, {{1, 0.8, {0, 0.8}}}});
  const EventChances now = EventChancesOf(ComputeChances(joined, AllEvents()));
  const Answers answers = ComputeAnswers(joined, now, {{{{2, true, 1, 0}}}}, AllEvents()).front();
  const double in_second = 0.1 + 0.9 * 0.2 * 0.9;
  const double seen_in_second = 1 - (1 - 0.05) * (1 - 0.8 * in_second);
  const double state_and_seen = in_second * (1 - (1 - 0.05) * (1 - 0.8));
  CHECK(answers.answers[0].then.p_event[1] ==
        Approx((0.05 * in_second + state_and_seen) / (0.05 + seen_in_second)));
}

TEST_CASE("the outcome over worlds is that of each, by what the reports make of them") {
  std::mt19937 random(65);
  int compared = 0;
  for (int trial = 0; trial < 300; ++trial) {
    INFO("trial " << trial);
    const Mixture mixture = RandomMixture(random);
    const Truth truth = AddUp(mixture.weights, mixture.plain);
    if (truth.p_reports <= 0) continue;
    std::vector<char> is_marked(mixture.joined.events.size(), 0);
    for (char& marked : is_marked) marked = random() % 2 == 0;
    const auto outcome = ComputeOutcome(mixture.joined, is_marked);
    REQUIRE(outcome);
    double any = 0, marked = 0;
    for (std::size_t w = 0; w < mixture.plain.size(); ++w) {
      if (truth.p_world[w] <= 0) continue;
      const auto one = ComputeOutcome(mixture.plain[w], is_marked);
      any += truth.p_world[w] * one->any;
      marked += truth.p_world[w] * one->marked;
    }
    CHECK(std::abs(outcome->any - any) < 1e-9);
    CHECK(std::abs(outcome->marked - marked) < 1e-9);
    ++compared;
  }
  CHECK(compared > 200);
}

// The faults that arose by themselves: every set of them in each world, weighed, with all that follows.
struct BySet {
  std::vector<double> p;                     // by set of faults, with the reports, over all worlds
  std::vector<std::vector<double>> p_event;  // by set: and each event
};
BySet AddUpBySet(const Mixture& mixture, const std::vector<int>& faults) {
  BySet by_set;
  for (unsigned set = 0; set < (1U << faults.size()); ++set) {
    by_set.p.push_back(0);
    by_set.p_event.emplace_back(mixture.joined.events.size(), 0);
    for (std::size_t w = 0; w < mixture.plain.size(); ++w) {
      Network fixed = mixture.plain[w];
      double p = mixture.weights[w];
      for (std::size_t i = 0; i < faults.size(); ++i) {
        double& own = fixed.events[static_cast<std::size_t>(faults[i])].p_unexplained;
        const bool so = ((set >> i) & 1U) != 0;
        p *= so ? own : 1 - own;
        own = so ? 1 : 0;
      }
      if (p <= 0) continue;
      const BruteForce truth = AddUpEverything(fixed);
      p *= std::exp(truth.logp_reports);
      by_set.p.back() += p;
      for (std::size_t i = 0; i < truth.p_event.size(); ++i)
        by_set.p_event.back()[i] += p > 0 ? p * truth.p_event[i] : 0;
    }
  }
  return by_set;
}

TEST_CASE("accounts over worlds, and each event by them, are sums over the worlds and all ways to arise") {
  std::mt19937 random(67);
  int compared = 0, by_world_alone = 0, of_two = 0;
  for (int trial = 0; trial < 400; ++trial) {
    INFO("trial " << trial);
    const Mixture mixture = RandomMixture(random);
    const Chances chances = ComputeChances(mixture.joined);
    if (!chances.possible) continue;
    std::vector<int> faults, place_of;
    const std::vector<char> on_reports = BearsOnReports(mixture.joined);
    for (std::size_t i = 0; i < mixture.joined.events.size(); ++i) {
      const bool fault = mixture.joined.events[i].type == EventType::kFault;
      // What is not worked out makes no account.
      const bool counts = fault && !std::isnan(chances.p_by_itself[i]);
      place_of.push_back(counts ? static_cast<int>(random() % 3) : -1);
      if (!fault) continue;
      faults.push_back(static_cast<int>(i));
      by_world_alone += on_reports[i] == 0 && counts && Bears(mixture.joined, chances, static_cast<int>(i));
    }
    AccountOptions options;
    options.least_chance = trial % 2 == 0 ? 0 : 0.1;
    options.most_places = trial % 3 == 0 ? 2 : 5;
    options.in_full = 100;
    const Accounts accounts = ComputeAccounts(mixture.joined, chances, place_of, {}, options);
    const BySet truth = AddUpBySet(mixture, faults);
    double total = 0;
    for (const double p : truth.p) total += p;
    const auto places_of = [&](unsigned set) {
      std::vector<int> places;
      for (std::size_t i = 0; i < faults.size(); ++i) {
        const int place = place_of[static_cast<std::size_t>(faults[i])];
        if (((set >> i) & 1U) != 0 && place >= 0 && Bears(mixture.joined, chances, faults[i]))
          places.push_back(place);
      }
      std::sort(places.begin(), places.end());
      places.erase(std::unique(places.begin(), places.end()), places.end());
      return places;
    };
    for (const Account& account : accounts.all) {
      double p = 0;
      std::vector<double> p_event(place_of.size(), 0), p_root = p_event;
      for (unsigned set = 0; set < truth.p.size(); ++set) {
        if (truth.p[set] <= 0 || places_of(set) != account.places) continue;
        p += truth.p[set];
        for (std::size_t i = 0; i < p_event.size(); ++i) p_event[i] += truth.p_event[set][i];
        for (std::size_t i = 0; i < faults.size(); ++i) {
          if (((set >> i) & 1U) != 0) p_root[static_cast<std::size_t>(faults[i])] += truth.p[set];
        }
      }
      REQUIRE(std::abs(account.p - p / total) < 1e-9);
      if (account.p < 1e-6) continue;
      ++compared;
      of_two += account.places.size() == 2;
      REQUIRE(account.given.p_event.size() == p_event.size());
      for (std::size_t i = 0; i < p_event.size(); ++i) {
        const double given = account.given.p_event[i];
        if (!std::isnan(given)) CHECK(std::abs(given - p_event[i] / p) < 1e-9);
      }
      for (const int place : account.places) {
        for (const int root : accounts.roots[static_cast<std::size_t>(place)]) {
          const auto r = static_cast<std::size_t>(root);
          CHECK(std::abs(account.given.p_by_itself[r] - p_root[r] / p) < 1e-9);
        }
      }
    }
  }
  CHECK(compared > 300);
  CHECK(of_two > 15);
  CHECK(by_world_alone > 5);
}

// A report that is taken back weighs in no world.
TEST_CASE("an answer that takes a report back leaves what the others say, over the worlds") {
  std::mt19937 random(68);
  int compared = 0;
  for (int trial = 0; trial < 300; ++trial) {
    INFO("trial " << trial);
    const Mixture mixture = RandomMixture(random);
    if (mixture.joined.reports.empty()) continue;
    const Chances now = ComputeChances(mixture.joined, AllEvents());
    if (!now.possible) continue;
    Posed posed;
    posed.taken_back = {mixture.joined.reports.front().event};
    posed.reports = {{posed.taken_back.front(), true, 0.9, 0.2}};
    const Answers answers =
        ComputeAnswers(mixture.joined, EventChancesOf(now), {{posed}}, AllEvents()).front();
    REQUIRE(answers.exact);
    std::vector<Network> then;
    for (const Network& one : mixture.plain) {
      then.push_back(WithoutReportsOf(one, posed.taken_back));
      then.back().reports.push_back(posed.reports.front());
    }
    const Truth truth = AddUp(mixture.weights, then);
    if (answers.answers.front().p <= 0 || truth.p_reports <= 0) continue;
    const EventChances& given = answers.answers.front().then;
    for (std::size_t i = 0; i < truth.p_event.size(); ++i) {
      if (std::isnan(given.p_event[i])) continue;
      CHECK(std::abs(given.p_event[i] - truth.p_event[i]) < 1e-9);
      ++compared;
    }
  }
  CHECK(compared > 300);
}

TEST_CASE("two worlds that are alike, or one that is certain, are one") {
  std::mt19937 random(66);
  for (int trial = 0; trial < 200; ++trial) {
    INFO("trial " << trial);
    Mixture mixture = RandomMixture(random);
    const Network& first = mixture.plain[0];
    const Network alike = Join({0.5, 0.5}, {first, first});
    const Network certain = Join({1, 0}, {first, mixture.plain[1]});
    const Chances one = ComputeChances(first, AllEvents());
    const Influence influence = ComputeInfluence(first);
    const std::vector<char> bears = BearsOnReports(first);
    const Question question = AskAbout(first, random);
    const Answers answers = ComputeAnswers(first, EventChancesOf(one), {question}, AllEvents()).front();
    for (const Network* joined : {&alike, &certain}) {
      const Chances chances = ComputeChances(*joined, AllEvents());
      CHECK(chances.possible == one.possible);
      for (std::size_t i = 0; i < one.p_event.size(); ++i) {
        if (std::isnan(one.p_event[i]) || std::isnan(chances.p_event[i])) continue;
        CHECK(std::abs(chances.p_event[i] - one.p_event[i]) < 1e-12);
      }
      const Influence joined_influence = ComputeInfluence(*joined);
      const Answers joined_answers =
          ComputeAnswers(*joined, EventChancesOf(chances), {question}, AllEvents()).front();
      for (std::size_t a = 0; a < question.size(); ++a)
        CHECK(std::abs(joined_answers.answers[a].p - answers.answers[a].p) < 1e-12);
      for (std::size_t k = 0; k < first.reports.size(); ++k) {
        for (std::size_t i = 0; i < one.p_event.size(); ++i) {
          if (bears[i] == 0) continue;  // the other's links may have a say, whatever its weight
          const double expected = influence.odds_factor[k][i];
          const double factor = joined_influence.odds_factor[k][i];
          if (expected > 1e-6 && expected < 1e6) CHECK(std::abs(factor / expected - 1) < 1e-9);
        }
      }
    }
  }
}

// A report that only one world can give moves the worlds as Bayes has it.
TEST_CASE("an event that one world has not is certainly absent there") {
  Network joined;
  joined.worlds = {0.7, 0.3};
  joined.events.push_back({"cooler_leaks", EventType::kFault, 0.3 * 0.2, {}, {0, 0.2}});
  joined.reports.push_back({0, true, 0.9, 0.02});
  const Chances chances = ComputeChances(joined);
  const double second = 0.3 * (0.2 * 0.9 + 0.8 * 0.02);
  const double first = 0.7 * 0.02;
  CHECK(chances.p_world[1] == Approx(second / (first + second)));
  CHECK(chances.p_event[0] == Approx(0.3 * 0.2 * 0.9 / (first + second)));
}

}  // namespace
}  // namespace gearwhy
