// The interview against other ways of looking for a fault, on drawn transmissions.
//
//   gearwhy_bench_interview [--draws N] [--unit NAME] [--seed N]
//
// A transmission is drawn from the network of a unit: faults, states and findings, cause by cause. One complaint that a fault has
// brought about is given as the customer's. Then a policy chooses check after check, each answered from what was drawn,
// with its usual errors, until a fault behind the complaint has been seen directly. The cost is minutes, with access paid once.
// The drawn world is the rulebook's own, or one whose every frequency has been moved at random by up to one step of the scale.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "cli/session.h"
#include "engine/report/weigh_checks.h"

namespace gearwhy {
namespace {

std::size_t At(int index) { return static_cast<std::size_t>(index); }

constexpr double kTells = 0.03;  // bits at a glance: a check that tells less is not made by those who go by a list
constexpr double kGoneOverAgain = 120;  // minutes

double Uniform(std::mt19937_64& random) { return static_cast<double>(random() >> 11) * 0x1.0p-53; }

// What everybody in the benchmark knows of one unit.
struct Workshop {
  const Words* words = nullptr;
  Network network;                  // as the rulebook has it
  std::vector<GroundCheck> checks;  // with every finding that each tells
  std::vector<int> causes_first;
  std::vector<char> may_be_complaint;  // by event
  std::vector<std::vector<std::pair<int, int>>> sights;  // by check: finding, fault
};

// What is so in one drawn transmission.
struct Drawn {
  std::vector<char> present;  // by event
  int complaint = -1;
  std::vector<char> behind;   // by event: a fault that arose by itself and led to the complaint
};

// Every frequency moved up or down the rulebook's scale by at most one step: the odds are multiplied by up to the ratio of two neighbours.
Network Moved(const Network& network, const Words& words, std::mt19937_64& random) {
  std::vector<double> steps;
  for (const auto& [name, p] : words.how_often) steps.push_back(std::log(p / (1 - p)));
  std::sort(steps.begin(), steps.end());
  const auto move = [&](double p) {
    if (!(p > 0 && p < 1)) return p;
    const double x = std::log(p / (1 - p));
    const auto above = std::upper_bound(steps.begin(), steps.end(), x + 1e-9);
    // Below the scale a step is as wide as the lowest, above it as the highest.
    const std::size_t i = static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(above - steps.begin(), 1, static_cast<std::ptrdiff_t>(steps.size()) - 1));
    const double y = x + (2 * Uniform(random) - 1) * (steps[i] - steps[i - 1]);
    return 1 / (1 + std::exp(-y));
  };
  Network moved = network;
  for (Event& event : moved.events) {
    event.p_unexplained = move(event.p_unexplained);
    for (Cause& cause : event.causes) cause.p_how_often = move(cause.p_how_often);
  }
  return moved;
}

Drawn Draw(const Workshop& shop, const Network& world, std::mt19937_64& random) {
  while (true) {
    Drawn drawn;
    drawn.present.assign(world.events.size(), 0);
    std::vector<std::vector<int>> led_by(world.events.size());
    std::vector<char> by_itself(world.events.size(), 0);
    std::vector<int> complaints;
    for (const int e : shop.causes_first) {
      const Event& event = world.events[At(e)];
      by_itself[At(e)] = Uniform(random) < event.p_unexplained;
      for (const Cause& cause : event.causes) {
        if (drawn.present[At(cause.event)] && Uniform(random) < cause.p_how_often) led_by[At(e)].push_back(cause.event);
      }
      drawn.present[At(e)] = by_itself[At(e)] || !led_by[At(e)].empty();
      if (drawn.present[At(e)] && shop.may_be_complaint[At(e)]) complaints.push_back(e);
    }
    if (complaints.empty()) continue;
    drawn.complaint = complaints[random() % complaints.size()];
    drawn.behind.assign(world.events.size(), 0);
    std::vector<int> open = {drawn.complaint};
    std::vector<char> met(world.events.size(), 0);
    bool any = false;
    while (!open.empty()) {
      const int e = open.back();
      open.pop_back();
      if (met[At(e)]) continue;
      met[At(e)] = 1;
      if (by_itself[At(e)] && world.events[At(e)].type == EventType::kFault) {
        drawn.behind[At(e)] = 1;
        any = true;
      }
      for (const int cause : led_by[At(e)]) open.push_back(cause);
    }
    if (any) return drawn;
  }
}

// Where an interview stands.
struct Standing {
  Network network;  // with the reports so far
  std::vector<std::string> open;
  std::vector<char> done;  // by check
  std::string key;         // of all that was answered: equal keys, equal standings
};

using Policy = std::function<int(const Workshop&, const Standing&, const EventChances&, std::mt19937_64&)>;

std::vector<GroundCheck> Left(const Workshop& shop, const Standing& standing, std::vector<int>* index) {
  std::vector<char> reported(standing.network.events.size(), 0);
  for (const Report& report : standing.network.reports) reported[At(report.event)] = 1;
  std::vector<GroundCheck> left;
  for (std::size_t c = 0; c < shop.checks.size(); ++c) {
    if (standing.done[c]) continue;
    GroundCheck check = shop.checks[c];
    std::erase_if(check.findings, [&](int finding) { return reported[At(finding)]; });
    if (check.findings.empty()) continue;
    index->push_back(static_cast<int>(c));
    left.push_back(std::move(check));
  }
  return left;
}

Policy Ours(CheckOrder order) {
  return [order](const Workshop& shop, const Standing& standing, const EventChances& now, std::mt19937_64&) {
    std::vector<int> index;
    const std::vector<GroundCheck> left = Left(shop, standing, &index);
    WeighOptions options;
    options.order = order;
    const WeighedChecks weighed = WeighChecks(*shop.words, standing.network, now, left, standing.open, options);
    if (weighed.checks.empty() || !weighed.has_look) return -1;
    return index[weighed.checks.front().check];
  };
}

// Highest chance of seeing the cause over its minutes, access included.
int ChanceOverCost(const Workshop& shop, const Standing& standing, const EventChances& now, std::mt19937_64&) {
  std::vector<int> index;
  const std::vector<GroundCheck> left = Left(shop, standing, &index);
  const Confirmation confirmation(*shop.words, standing.network, left);
  const auto plan = confirmation.Make(BlameOf(standing.network, now.p_by_itself),
                                      confirmation.Open(OpenAccess(*shop.words, standing.open)));
  return plan.any ? index[plan.check] : -1;
}

// The checks that tell anything at all at a glance, with their minutes.
struct Telling {
  int check;
  double minutes;
};
std::vector<Telling> TellingChecks(const Workshop& shop, const Standing& standing, const EventChances& now) {
  std::vector<int> index;
  const std::vector<GroundCheck> left = Left(shop, standing, &index);
  const std::set<std::string> open = OpenAccess(*shop.words, standing.open);
  std::vector<Telling> telling;
  for (std::size_t i = 0; i < left.size(); ++i) {
    double bits = 0;
    for (const int finding : left[i].findings)
      bits += BitsAtAGlance(standing.network, now, finding, *shop.words->FindTrust(left[i].check->trust));
    if (bits < kTells) continue;
    telling.push_back({index[i], left[i].check->minutes + MinutesToReach(*shop.words, left[i].check->access, open)});
  }
  return telling;
}

int CheapestFirst(const Workshop& shop, const Standing& standing, const EventChances& now, std::mt19937_64& random) {
  const std::vector<Telling> telling = TellingChecks(shop, standing, now);
  if (telling.empty()) return ChanceOverCost(shop, standing, now, random);
  return std::min_element(telling.begin(), telling.end(), [](const Telling& a, const Telling& b) { return a.minutes < b.minutes; })
      ->check;
}

int AnyAtRandom(const Workshop& shop, const Standing& standing, const EventChances& now, std::mt19937_64& random) {
  const std::vector<Telling> telling = TellingChecks(shop, standing, now);
  if (telling.empty()) return ChanceOverCost(shop, standing, now, random);
  return telling[random() % telling.size()].check;
}

// Where a check stands in the usual order of the trade (common practice): fluid, codes, road test, pressures, stall, pan, air check,
// open up.
int PlaceInUsualOrder(const Check& check) {
  const std::string& id = check.id;
  const auto has = [&](const char* word) { return id.find(word) != std::string::npos; };
  if (check.access == "in_car" && check.trust == "customer") return 0;  // what the customer can tell
  if (has("fluid") || has("level")) return 1;
  if (check.access == "scanner_on") return 2;
  if (check.access == "in_car" || check.access == "on_road") return has("stall") ? 6 : 3;
  if (check.access == "on_lift" || check.access == "servo_open") return 4;
  if (check.access == "gauge_on") return 5;
  if (check.access == "pan_off") return 7;
  if (check.access == "valve_body_out" || check.access == "valve_body_open") return 8;
  return 9;
}

int UsualOrder(const Workshop& shop, const Standing& standing, const EventChances& now, std::mt19937_64& random) {
  int best = -1;
  int best_place = 9;  // opened up, one looks where the suspicion is
  for (const Telling& one : TellingChecks(shop, standing, now)) {
    const int place = PlaceInUsualOrder(*shop.checks[At(one.check)].check);
    if (place < best_place) {
      best_place = place;
      best = one.check;
    }
  }
  return best >= 0 ? best : ChanceOverCost(shop, standing, now, random);
}

// One interview; its cost in minutes.
struct Result {
  double minutes = 0;
  int checks = 0;
  bool seen = false;
};

using Choices = std::map<std::string, std::pair<int, double>>;  // what was chosen where

Result Interview(const Workshop& shop, const Drawn& drawn, const Policy& policy, bool remember, Choices& choices,
                 std::mt19937_64& answers, std::mt19937_64& random, std::vector<double>& milliseconds) {
  Standing standing;
  standing.network = shop.network;
  standing.done.assign(shop.checks.size(), 0);
  const Trust& customer = *shop.words->FindTrust("customer");
  standing.network.reports.push_back(
      {drawn.complaint, true, customer.p_present_if_present, customer.p_present_if_absent});
  standing.key = fmt::format("{}", drawn.complaint);
  Result result;
  while (result.checks < 300) {
    int check = -1;
    const auto known = remember ? choices.find(standing.key) : choices.end();
    if (known != choices.end()) {
      check = known->second.first;
    } else {
      const Chances chances = ComputeChances(standing.network);
      const auto start = std::chrono::steady_clock::now();
      check = policy(shop, standing, {chances.p_event, chances.p_by_itself}, random);
      milliseconds.push_back(std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
      if (remember) choices.emplace(standing.key, std::pair(check, 0.0));
    }
    if (check < 0) {  // nothing left that could show it: everything is taken apart and gone over again
      std::set<std::string> open = OpenAccess(*shop.words, standing.open);
      for (const auto& [name, access] : shop.words->access) {
        result.minutes += MinutesToReach(*shop.words, name, open);
        open.insert(name);
      }
      result.minutes += kGoneOverAgain;
      return result;
    }
    const GroundCheck& made = shop.checks[At(check)];
    const Trust& trust = *shop.words->FindTrust(made.check->trust);
    result.minutes += std::max(0.5, made.check->minutes) +
                      MinutesToReach(*shop.words, made.check->access, OpenAccess(*shop.words, standing.open));
    ++result.checks;
    if (!made.check->access.empty()) standing.open.push_back(made.check->access);
    standing.done[At(check)] = 1;
    standing.key += fmt::format("|{}", check);
    std::vector<char> reported(standing.network.events.size(), 0);
    for (const Report& report : standing.network.reports) reported[At(report.event)] = 1;
    for (const int finding : made.findings) {
      if (reported[At(finding)]) continue;
      const bool is = drawn.present[At(finding)];
      const bool yes = Uniform(answers) < (is ? trust.p_present_if_present : trust.p_present_if_absent);
      standing.network.reports.push_back({finding, yes, yes ? trust.p_present_if_present : 1 - trust.p_present_if_present,
                                          yes ? trust.p_present_if_absent : 1 - trust.p_present_if_absent});
      standing.key += yes ? '+' : '-';
      if (!(yes && is)) continue;
      for (const auto& [shown, fault] : shop.sights[At(check)]) {
        if (shown == finding && drawn.behind[At(fault)]) result.seen = true;
      }
    }
    if (result.seen) return result;
  }
  return result;
}

double Quantile(std::vector<double> values, double q) {
  if (values.empty()) return 0;
  std::sort(values.begin(), values.end());
  return values[std::min(values.size() - 1, static_cast<std::size_t>(q * static_cast<double>(values.size())))];
}

struct Options {
  int draws = 2000;
  std::vector<std::string> units;
  std::uint64_t seed = 1;
  std::string only;
};

void RunUnit(Session& session, const std::string& unit, const Options& options) {
  Diagnostics diagnostics;
  Case c;
  c.id = c.title = "drawn";
  c.unit = unit;
  const UnitKnowledge* known = session.Know(unit, {}, diagnostics);
  if (known == nullptr) {
    session.Print(diagnostics);
    std::exit(1);
  }
  const auto diagnosis = GroundOnly(session.book(), known, c, diagnostics);
  if (!diagnosis) {
    session.Print(diagnostics);
    std::exit(1);
  }
  Workshop shop;
  shop.words = &session.book().words;
  shop.network = diagnosis->ground.network;
  shop.checks = GroundChecksOf(*diagnosis);
  shop.causes_first = CausesFirst(shop.network);
  for (const GroundEvent& event : diagnosis->ground.events)
    shop.may_be_complaint.push_back(event.word->type == WordType::kFinding && !event.word->ask.empty());
  const Confirmation confirmation(*shop.words, shop.network, shop.checks);
  shop.sights.resize(shop.checks.size());
  for (const Look& look : confirmation.looks())
    for (const Sight& sight : look.sights) shop.sights[look.check].emplace_back(sight.finding, sight.fault);

  struct Named {
    std::string name;
    Policy policy;
    bool remember;
  };
  std::vector<Named> policies = {
      {"ours, minutes to the cause", Ours(CheckOrder::kMinutesToCause), true},
      {"bits about the cause for a minute", Ours(CheckOrder::kBitsPerMinute), true},
      {"cheapest check first", CheapestFirst, true},
      {"usual order of the trade", UsualOrder, true},
      {"chance over cost", ChanceOverCost, true},
      {"random", AnyAtRandom, false},
  };
  if (!options.only.empty()) std::erase_if(policies, [&](const Named& p) { return p.name.find(options.only) == std::string::npos; });
  for (const bool moved : {false, true}) {
    fmt::print("{}: {} draws, {}\n", unit, options.draws, moved ? "every frequency moved by up to one step" : "the rulebook's own world");
    fmt::print("  {:<36} {:>8} {:>8} {:>8} {:>8} {:>7} {:>7} {:>9}\n", "", "mean min", "+- 95%", "median", "90%", "checks", "seen", "ms p95");
    for (const Named& named : policies) {
      std::mt19937_64 world_random(options.seed), answers(options.seed + 1), random(options.seed + 2);
      Choices choices;
      std::vector<double> minutes, milliseconds;
      double checks = 0, seen = 0;
      for (int i = 0; i < options.draws; ++i) {
        std::mt19937_64 draw(world_random());
        const Network world = moved ? Moved(shop.network, *shop.words, draw) : Network{};
        const Drawn drawn = Draw(shop, moved ? world : shop.network, draw);
        const Result result = Interview(shop, drawn, named.policy, named.remember, choices, answers, random, milliseconds);
        minutes.push_back(result.minutes);
        checks += result.checks;
        seen += result.seen;
      }
      const double n = static_cast<double>(minutes.size());
      double mean = 0, square = 0;
      for (const double m : minutes) mean += m / n;
      for (const double m : minutes) square += (m - mean) * (m - mean) / (n - 1);
      fmt::print("  {:<36} {:>8.1f} {:>8.1f} {:>8.0f} {:>8.0f} {:>7.1f} {:>6.1f}% {:>9.1f}\n", named.name, mean,
                 1.96 * std::sqrt(square / n), Quantile(minutes, 0.5), Quantile(minutes, 0.9), checks / n, 100 * seen / n,
                 Quantile(milliseconds, 0.95));
      std::fflush(stdout);
    }
  }
}

}  // namespace
}  // namespace gearwhy

int main(int argc, char** argv) {
  using namespace gearwhy;
  Options options;
  for (int i = 1; i + 1 < argc; i += 2) {
    const std::string flag = argv[i];
    if (flag == "--draws") options.draws = std::atoi(argv[i + 1]);
    if (flag == "--unit") options.units.push_back(argv[i + 1]);
    if (flag == "--seed") options.seed = static_cast<std::uint64_t>(std::atoll(argv[i + 1]));
    if (flag == "--only") options.only = argv[i + 1];
  }
  if (options.units.empty())
    options.units = {"lepelletier-six-speed", "ravigneaux-four-speed", "ravigneaux-simple-five-speed", "simpson-three-speed"};
  const auto session = Session::Open({});
  if (session == nullptr) return 1;
  for (const std::string& unit : options.units) RunUnit(*session, unit, options);
  return 0;
}
