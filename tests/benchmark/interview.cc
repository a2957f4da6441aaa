// The interview against other ways of looking for a fault, on drawn transmissions.
//
//   gearwhy_benchmark_interview [--draws N] [--unit NAME] [--seed N] [--only TEXT] [--rules FOLDER]
//                               [--world FOLDER] [--known-to FOLDER]
//
// Every unit in its first variant.
//
// A transmission is drawn (drawn_trouble.h), and one complaint that a fault has brought about is given as the
// customer's. Then a policy chooses check after check, each answered from what was drawn, with its usual
// errors, until a fault behind the complaint has been seen directly. The cost is minutes, with access paid
// once.
//
// Two worlds: the rulebook's own, and one in which every frequency of the rulebook has been moved any way by
// up to one step of the scale, anew for each draw, so that every policy is wrong about the world.
//
// To compare two rulebooks, `--world` names the one that the transmissions are drawn from and that answers;
// `--rules` is the one that is played by. What the world does not know of stays unanswered. `--known-to`
// keeps to complaints that this third one knows as well, so that both are played with the same.
//
// Direct sight is a check of a trust with `direct:` and a finding as confirm.h describes. How often a fault
// has no such sight, and is not drawn, is printed.
//
// No policy gives up: one that has nothing more to propose looks at what is left, likeliest for the minutes
// first. "Knowing the cause" goes to the part at once; nobody can do better.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "cli/session.h"
#include "engine/advise/next_step.h"
#include "engine/advise/weigh_checks.h"
#include "engine/belief/compiled_network.h"
#include "engine/model/access.h"
#include "engine/text/at.h"
#include "engine/text/at_once.h"
#include "tests/support/drawn_unit.h"
#include "engine/study/moved_frequencies.h"
#include "tests/support/quantile.h"

namespace gearwhy {
namespace {

// Who goes by a list makes the checks that bear on the trouble: those that tell so many bits at a glance.
constexpr double kBearsOnIt = 0.2;
constexpr double kTellsMuch = 1.0;
constexpr double kAllButCertain = 0.9;  // of the blame on one fault: then everybody goes and looks
// Variables at once. Wider networks are not thought through: a list goes on as it did, and everybody else
// looks at what was likeliest when they last could.
constexpr int kWidest = 17;
constexpr double kGoneOverAgain = 120;  // minutes, when every look has been made for nothing

bool CanBeSolved(const Network& network) {
  BeliefLimits limits;
  limits.max_width = kWidest;
  return CompiledNetwork(network, limits, {}).fits();
}

// What everybody in the benchmark knows of one unit.
struct Workshop : DrawnUnit {
  const Rulebook* book = nullptr;
  const Words* words = nullptr;
};

// The world of another rulebook as this one sees it.
struct Mirror {
  std::vector<int> in_world;  // by event of the book that is played by; -1 for what the world does not know

  Mirror(const Network& played, const Network& world) {
    std::map<std::string, int> by_id;
    for (std::size_t i = 0; i < world.events.size(); ++i)
      by_id.emplace(world.events[i].id, static_cast<int>(i));
    for (const Event& event : played.events) {
      const auto known = by_id.find(event.id);
      in_world.push_back(known == by_id.end() ? -1 : known->second);
    }
  }
  Trouble Of(const Trouble& drawn) const {
    Trouble seen;
    for (std::size_t i = 0; i < in_world.size(); ++i) {
      const int there = in_world[i];
      if (there >= 0 && there == drawn.complaint) seen.complaint = static_cast<int>(i);
      seen.present.push_back(there >= 0 && drawn.present[At(there)]);
      seen.behind.push_back(there >= 0 && drawn.behind[At(there)]);
    }
    return seen;
  }
};

// Where an interview stands.
struct Standing {
  Network network;  // with the reports so far
  std::vector<std::string> open;
  std::vector<char> done;            // by check
  std::string key;                   // of all that was answered: equal keys, equal standings
  const Trouble* trouble = nullptr;  // for "knowing the cause" alone
  // As of the last find for those who go by a list, else of the last answer.
  EventChances now;
  bool stale = true;  // something has been found since
};

// The check to make next; -1 when there is none to propose.
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

Policy Ours() {
  return [](const Workshop& shop, const Standing& standing, const EventChances& now, std::mt19937_64&) {
    std::vector<int> index;
    const std::vector<GroundCheck> left = Left(shop, standing, &index);
    const WeighedChecks weighed = WeighChecks(*shop.words, standing.network, *shop.ground.common, now, left,
                                              standing.open, {}, BeliefLimits{});
    if (weighed.checks.empty() || !weighed.has_look) return -1;
    return index[weighed.checks.front().check];
  };
}

// Whether the unit stays in as long as anything is worth asking, as gearwhy says.
bool StaysIn(const Workshop& shop, const Standing& standing, const EventChances&) {
  return MayStayIn(ComputeOutcome(standing.network, shop.needs_unit_out));
}

// The same for who takes it for granted that something is broken: by the blame on the faults alone.
bool StaysInByBlame(const Workshop& shop, const Standing& standing, const EventChances& now) {
  const std::vector<double> blame = BlameOf(standing.network, now.p_by_itself);
  double all = 0, out = 0, likeliest = 0;
  for (std::size_t i = 0; i < blame.size(); ++i) {
    all += blame[i];
    if (shop.needs_unit_out[i] == 0) continue;
    out += blame[i];
    if (now.p_event[i] > likeliest) likeliest = now.p_event[i];
  }
  return all > 0 && std::max(out / all, likeliest) < kMayStayIn;
}

// The same as `gearwhy ask` puts it: nothing that needs the vehicle to run once something is open that
// forbids it, and the unit stays in while its repair may leave it in.
int AsAsked(const Workshop& shop, const Standing& standing, const EventChances& now,
            bool (*stays_in)(const Workshop&, const Standing&, const EventChances&)) {
  const Words& words = *shop.words;
  const bool can_run = CanRun(words, standing.open), unit_out = UnitIsOut(words, standing.open);
  std::vector<int> index, kept;
  std::vector<GroundCheck> checks;
  const std::vector<GroundCheck> left = Left(shop, standing, &index);
  for (std::size_t i = 0; i < left.size(); ++i) {
    if (left[i].check->running && !can_run) continue;
    kept.push_back(index[i]);
    checks.push_back(left[i]);
  }
  const WeighedChecks weighed = WeighChecks(words, standing.network, *shop.ground.common, now, checks,
                                            standing.open, {}, BeliefLimits{});
  if (weighed.checks.empty() || !weighed.has_look) return -1;
  const auto needs_out = [&](const WeighedCheck& one) {
    return !unit_out && NeedsUnitOut(words, checks[one.check].check->access);
  };
  const std::size_t best = weighed.checks.front().check;
  if (!needs_out(weighed.checks.front())) return kept[best];
  const auto instead = std::find_if(
      weighed.checks.begin(), weighed.checks.end(),
      [&](const WeighedCheck& one) { return !needs_out(one) && WorthAsking(one.bits, one.minutes); });
  if (instead == weighed.checks.end()) return kept[best];
  return kept[stays_in(shop, standing, now) ? instead->check : best];
}

// The first look of the way that confirm.h plans, for faults as much to blame as given.
int FirstLook(const Workshop& shop, const Standing& standing, const std::vector<double>& blame) {
  std::vector<int> index;
  const std::vector<GroundCheck> left = Left(shop, standing, &index);
  const Confirmation confirmation(*shop.words, standing.network, left);
  const auto plan = confirmation.Make(blame, confirmation.Open(OpenAccess(*shop.words, standing.open)));
  return plan.any ? index[plan.check] : -1;
}

// Highest chance of seeing the cause over its minutes, access included.
int ChanceOverCost(const Workshop& shop, const Standing& standing, const EventChances& now,
                   std::mt19937_64&) {
  return FirstLook(shop, standing, BlameOf(standing.network, now.p_by_itself));
}

// When the suspicion is used up: the same by what is still possible, then by what was possible at first.
int WhateverIsLeft(const Workshop& shop, const Standing& standing, const EventChances& now) {
  std::vector<double> possible(now.p_by_itself.size(), 0), at_first(now.p_by_itself.size(), 0);
  for (std::size_t i = 0; i < possible.size(); ++i) {
    const Event& event = standing.network.events[i];
    if (event.type != EventType::kFault) continue;
    if (!std::isnan(now.p_by_itself[i])) possible[i] = now.p_by_itself[i];
    at_first[i] = event.p_unexplained;
  }
  const int look = FirstLook(shop, standing, possible);
  return look >= 0 ? look : FirstLook(shop, standing, at_first);
}

// The checks that tell at least so much at a glance, with their minutes; none when one suspect is all but
// certain.
struct Telling {
  int check;
  double minutes;
};
std::vector<Telling> TellingChecks(const Workshop& shop, const Standing& standing, const EventChances& now,
                                   double least_bits) {
  const std::vector<double> blame = BlameOf(standing.network, now.p_by_itself);
  double most = 0;
  double all = 0;
  for (const double b : blame) {
    most = std::max(most, b);
    all += b;
  }
  if (most > kAllButCertain * all) return {};
  std::vector<int> index;
  const std::vector<GroundCheck> left = Left(shop, standing, &index);
  const std::set<std::string> open = OpenAccess(*shop.words, standing.open);
  std::vector<Telling> telling;
  for (std::size_t i = 0; i < left.size(); ++i) {
    double bits = 0;
    for (const int finding : left[i].findings)
      bits += BitsAtAGlance(standing.network, now, finding, *shop.words->FindTrust(left[i].check->trust),
                            *shop.ground.common);
    if (bits < least_bits) continue;
    telling.push_back(
        {index[i], left[i].check->minutes + MinutesToReach(*shop.words, left[i].check->access, open)});
  }
  return telling;
}

int CheapestFirst(const Workshop& shop, const Standing& standing, const EventChances& now,
                  std::mt19937_64& random) {
  const std::vector<Telling> telling = TellingChecks(shop, standing, now, kBearsOnIt);
  if (telling.empty()) return ChanceOverCost(shop, standing, now, random);
  return std::min_element(telling.begin(), telling.end(),
                          [](const Telling& a, const Telling& b) { return a.minutes < b.minutes; })
      ->check;
}

int AnyAtRandom(const Workshop& shop, const Standing& standing, const EventChances& now,
                std::mt19937_64& random) {
  const std::vector<Telling> telling = TellingChecks(shop, standing, now, kBearsOnIt);
  if (telling.empty()) return ChanceOverCost(shop, standing, now, random);
  return telling[random() % telling.size()].check;
}

// Where a check stands in the usual order of the trade (common practice): the customer asked, fluid, codes,
// road test, on the lift, pressures, stall, pan, valve body with the air check, and then open up.
constexpr int kOpenUp = 9;
int PlaceInUsualOrder(const Check& check) {
  const std::string& id = check.id;
  const auto has = [&](const char* word) { return id.find(word) != std::string::npos; };
  if (check.access == "in_car" && check.trust == "customer") return 0;
  if (has("fluid") || has("level")) return 1;
  if (check.access == "scanner_on") return 2;
  if (check.access == "in_car" || check.access == "on_road") return has("stall") ? 6 : 3;
  if (check.access == "on_lift" || check.access == "servo_open") return 4;
  if (check.access == "gauge_on") return 5;
  if (check.access == "pan_off") return 7;
  if (check.access == "valve_body_out" || check.access == "valve_body_open") return 8;
  return kOpenUp;
}

int UsualOrder(const Workshop& shop, const Standing& standing, const EventChances& now,
               std::mt19937_64& random, double least_bits) {
  int best = -1;
  int best_place = kOpenUp;  // opened up, one looks where the suspicion is
  for (const Telling& one : TellingChecks(shop, standing, now, least_bits)) {
    const int place = PlaceInUsualOrder(*shop.checks[At(one.check)].check);
    if (place < best_place) {
      best_place = place;
      best = one.check;
    }
  }
  return best >= 0 ? best : ChanceOverCost(shop, standing, now, random);
}

int KnowingTheCause(const Workshop& shop, const Standing& standing, const EventChances&, std::mt19937_64&) {
  int best = -1;
  double least = 0;
  const std::set<std::string> open = OpenAccess(*shop.words, standing.open);
  for (std::size_t c = 0; c < shop.checks.size(); ++c) {
    for (const auto& [finding, fault] : shop.sights.of_check[c]) {
      if (!standing.trouble->behind[At(fault)] || !standing.trouble->present[At(finding)]) continue;
      const Check& check = *shop.checks[c].check;
      const double minutes = check.minutes + MinutesToReach(*shop.words, check.access, open);
      if (best >= 0 && minutes >= least) continue;
      best = static_cast<int>(c);
      least = minutes;
    }
  }
  return best;
}

struct Named {
  std::string name;
  Policy policy;
  bool remember = true;  // the same choice in the same standing
  // Takes a no for a no, and thinks anew only when something has been found and all that was found can be
  // thought through quickly. None of this makes a list worse or better than it is by more than the spread.
  bool by_list = false;
};

// What a policy has chosen where: the same standing, the same choice, in whichever world.
class Choices {
 public:
  std::optional<int> Find(const std::string& key) {
    const std::lock_guard<std::mutex> lock(mutex_);
    const auto known = chosen_.find(key);
    return known != chosen_.end() ? std::optional(known->second) : std::nullopt;
  }
  void Remember(const std::string& key, int check) {
    const std::lock_guard<std::mutex> lock(mutex_);
    chosen_.emplace(key, check);
  }

 private:
  std::mutex mutex_;
  std::map<std::string, int> chosen_;
};

struct Result {
  double minutes = 0;
  int checks = 0;
  bool seen = false;
};

// What a policy has cost so far.
struct Tally {
  std::vector<double> minutes;       // by draw
  std::vector<double> milliseconds;  // by choice
  int too_wide = 0;                  // of the choices
  double checks = 0;
  double seen = 0;
  int blind = 0;
};

Result Interview(const Workshop& shop, const Workshop& world, const Mirror& mirror, const Trouble& trouble,
                 const Named& named, Choices& choices, std::mt19937_64& answers, std::mt19937_64& random,
                 Tally& tally) {
  Standing standing;
  standing.network = shop.network();
  standing.done.assign(shop.checks.size(), 0);
  standing.trouble = &trouble;
  const Trust& customer = *shop.words->FindTrust("customer");
  const auto report = [&](int finding, bool yes, const Trust& trust) {
    const ReportChances chances = ChancesOfReport(trust, shop.ground.common->Of(finding), yes);
    return Report{finding, yes, chances.p_if_present, chances.p_if_absent};
  };
  const auto is_reported = [&](int finding, const Trust& trust) {
    const int there = mirror.in_world[At(finding)];
    const ReportChances chances =
        ChancesOfReport(*world.words->FindTrust(trust.name), world.ground.common->Of(there), true);
    return Uniform(answers) < (trouble.present[At(finding)] ? chances.p_if_present : chances.p_if_absent);
  };
  standing.network.reports.push_back(report(trouble.complaint, true, customer));
  standing.key = fmt::format("{}", trouble.complaint);
  Result result;
  while (true) {
    int check = -1;
    const std::optional<int> known = named.remember ? choices.Find(standing.key) : std::nullopt;
    if (known) {
      check = *known;
    } else {
      const auto start = std::chrono::steady_clock::now();
      const bool first = standing.now.p_event.empty();
      const bool solved = first || CanBeSolved(standing.network);
      if (solved && (first || standing.stale || !named.by_list)) {
        Chances chances = ComputeChances(standing.network);
        standing.now = {std::move(chances.p_event), std::move(chances.p_by_itself)};
        standing.stale = false;
      }
      tally.too_wide += !solved;
      const EventChances& now = standing.now;
      if (solved || named.by_list) check = named.policy(shop, standing, now, random);
      if (check < 0) check = WhateverIsLeft(shop, standing, now);
      tally.milliseconds.push_back(
          std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
      if (named.remember) choices.Remember(standing.key, check);
    }
    if (check < 0) {  // everything is taken apart and gone over again
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
      if (reported[At(finding)] || mirror.in_world[At(finding)] < 0) continue;
      const bool is = trouble.present[At(finding)];
      const bool yes = is_reported(finding, trust);
      standing.network.reports.push_back(report(finding, yes, trust));
      // Who goes by a list takes a no for a no.
      if (!yes && named.by_list) standing.network.reports.back().p_if_present = 0;
      standing.key += yes ? '+' : '-';
      if (yes) standing.stale = true;
      if (!(yes && is)) continue;
      for (const auto& [shown, fault] : shop.sights.of_check[At(check)]) {
        if (shown == finding && trouble.behind[At(fault)]) result.seen = true;
      }
    }
    if (result.seen) return result;
  }
}

struct Options : DrawOptions {
  std::string world, known_to, only;
};

constexpr const char* kOurs = "ours, minutes to the cause";

const std::vector<Named>& AllPolicies() {
  const auto usual = [](double least_bits) -> Policy {
    return
        [least_bits](const Workshop& shop, const Standing& standing, const EventChances& now,
                     std::mt19937_64& random) { return UsualOrder(shop, standing, now, random, least_bits); };
  };
  const auto as_asked =
      [](bool (*stays_in)(const Workshop&, const Standing&, const EventChances&)) -> Policy {
    return [stays_in](const Workshop& shop, const Standing& standing, const EventChances& now,
                      std::mt19937_64&) { return AsAsked(shop, standing, now, stays_in); };
  };
  static const std::vector<Named> policies = {
      {kOurs, Ours()},
      {"ours, as gearwhy asks", as_asked(StaysIn)},
      {"ours, out by blame alone", as_asked(StaysInByBlame)},
      {"knowing the cause", KnowingTheCause, false},
      {"usual order of the trade", usual(kBearsOnIt), true, true},
      {"usual order, only what tells much", usual(kTellsMuch), true, true},
      {"cheapest check first", CheapestFirst, true, true},
      {"chance over cost", ChanceOverCost},
      {"random", AnyAtRandom, false, true},
  };
  return policies;
}

Tally Run(const Workshop& shop, const Workshop& world, const Named& named, bool moved, const Options& options,
          Choices& choices) {
  const Mirror mirror(shop.network(), world.network());
  // The same transmissions for every policy.
  std::mt19937_64 world_random(options.seed), random(options.seed + 2);
  Tally tally;
  for (int i = 0; i < options.draws; ++i) {
    std::mt19937_64 draw(world_random());
    std::mt19937_64 answers(draw());
    const Network moved_network =
        moved ? MovedFrequencies(*world.book, draw(), HowFar::kUpToOneStep).Apply(world.ground) : Network{};
    const Trouble trouble = mirror.Of(DrawTrouble(moved ? moved_network : world.network(), world.causes_first,
                                                  world.may_be_complaint, world.sights, draw, &tally.blind));
    const Result result = Interview(shop, world, mirror, trouble, named, choices, answers, random, tally);
    tally.minutes.push_back(result.minutes);
    tally.checks += result.checks;
    tally.seen += result.seen;
  }
  return tally;
}

struct Spread {
  double mean = 0;
  double half_width = 0;  // of 95%
};
Spread SpreadOf(const std::vector<double>& values) {
  const double n = static_cast<double>(values.size());
  Spread spread;
  double square = 0;
  for (const double v : values) spread.mean += v / n;
  for (const double v : values) square += (v - spread.mean) * (v - spread.mean) / (n - 1);
  spread.half_width = 1.96 * std::sqrt(square / n);
  return spread;
}

// `ours`: of the same transmissions, draw by draw; may be null.
void Print(const std::string& name, const Tally& tally, const Tally* ours) {
  const double n = static_cast<double>(tally.minutes.size());
  const Spread minutes = SpreadOf(tally.minutes);
  std::string compared;
  if (ours != nullptr) {
    std::vector<double> saved;
    for (std::size_t i = 0; i < tally.minutes.size(); ++i)
      saved.push_back(tally.minutes[i] - ours->minutes[i]);
    const Spread difference = SpreadOf(saved);
    compared = fmt::format("{:>+7.1f}% +- {:.1f}", -100 * difference.mean / minutes.mean,
                           100 * difference.half_width / minutes.mean);
  }
  fmt::print("  {:<34} {:>8.1f} +-{:>5.1f} {:>7.0f} {:>7.0f} {:>7.1f} {:>6.1f}% {:>8.1f} {:>7.1f}%  {}\n",
             name, minutes.mean, minutes.half_width, Quantile(tally.minutes, 0.5),
             Quantile(tally.minutes, 0.9), tally.checks / n, 100 * tally.seen / n,
             Quantile(tally.milliseconds, 0.95), 100 * tally.too_wide / tally.checks, compared);
}

Workshop Open(const Session& session, const std::string& unit) {
  return {MakeDrawnUnit(session, unit), &session.book(), &session.book().words};
}

// Of the world's complaints only those that the book knows, too.
void KeepTo(const Workshop& book, Workshop& world) {
  const Mirror mirror(world.network(), book.network());
  for (std::size_t i = 0; i < world.may_be_complaint.size(); ++i)
    world.may_be_complaint[i] &= mirror.in_world[i] >= 0;
}

// The sessions of the book that is played by, of the world, and of whom the complaints must be known to.
struct Sessions {
  std::unique_ptr<Session> played, world, known_to;
};

void RunUnit(Sessions& sessions, const std::string& unit, const Options& options) {
  const Workshop shop = Open(*sessions.played, unit);
  Workshop world = sessions.world ? Open(*sessions.world, unit) : shop;
  KeepTo(shop, world);
  if (sessions.known_to) KeepTo(Open(*sessions.known_to, unit), world);
  struct Task {
    const Named* named;
    bool moved;
    Tally tally;
  };
  std::vector<Task> tasks;
  std::map<std::string, Choices> choices;  // by policy
  for (const bool moved : {false, true}) {
    for (const Named& named : AllPolicies()) {
      choices[named.name];
      if (named.name.find(options.only) == std::string::npos) continue;
      tasks.push_back({&named, moved, {}});
    }
  }
  // The longest first, so that both worlds of it run side by side.
  std::stable_sort(tasks.begin(), tasks.end(), [](const Task& a, const Task& b) {
    return (a.named->name == kOurs) > (b.named->name == kOurs);
  });
  AtOnce(tasks.size(), [&](std::size_t t) {
    tasks[t].tally =
        Run(shop, world, *tasks[t].named, tasks[t].moved, options, choices.at(tasks[t].named->name));
    fmt::print(stderr, "{}: {}{} is done\n", unit, tasks[t].named->name,
               tasks[t].moved ? ", frequencies moved," : "");
  });
  std::stable_sort(tasks.begin(), tasks.end(),
                   [](const Task& a, const Task& b) { return a.moved < b.moved; });
  for (std::size_t t = 0; t < tasks.size(); ++t) {
    if (t == 0 || tasks[t].moved != tasks[t - 1].moved) {
      const int blind = tasks[t].tally.blind;
      fmt::print("{}: {} draws, {}; besides, {:.1f} in 100 have a cause that no look shows\n", unit,
                 options.draws,
                 tasks[t].moved ? "every frequency moved by up to one step" : "the rulebook's own world",
                 100.0 * blind / (blind + options.draws));
      fmt::print("  {:<34} {:>8} {:>7} {:>7} {:>7} {:>7} {:>7} {:>8} {:>8}  {}\n", "", "minutes", "95%",
                 "median", "90 in 100", "checks", "seen", "ms p95", "too wide", "ours against it");
    }
    const auto ours = std::find_if(tasks.begin(), tasks.end(), [&](const Task& task) {
      return task.named->name == kOurs && task.moved == tasks[t].moved;
    });
    const bool compare = ours != tasks.end() && &*ours != &tasks[t];
    Print(tasks[t].named->name, tasks[t].tally, compare ? &ours->tally : nullptr);
  }
  std::fflush(stdout);
}

}  // namespace
}  // namespace gearwhy

int main(int argc, char** argv) {
  using namespace gearwhy;
  Options options;
  options.draws = 2000;
  for (int i = 1; i + 1 < argc; i += 2) {
    const std::string flag = argv[i];
    options.Take(flag, argv[i + 1]);
    if (flag == "--only") options.only = argv[i + 1];
    if (flag == "--world") options.world = argv[i + 1];
    if (flag == "--known-to") options.known_to = argv[i + 1];
  }
  if (options.units.empty())
    options.units = {"lepelletier-six-speed", "ravigneaux-four-speed", "ravigneaux-simple-five-speed",
                     "simpson-three-speed"};
  Sessions sessions;
  sessions.played = Session::Open({options.rules, {}});
  if (!options.world.empty()) sessions.world = Session::Open({options.world, {}});
  if (!options.known_to.empty()) sessions.known_to = Session::Open({options.known_to, {}});
  if (!sessions.played || (!options.world.empty() && !sessions.world) ||
      (!options.known_to.empty() && !sessions.known_to))
    return 1;
  for (const std::string& unit : options.units) RunUnit(sessions, unit, options);
  return 0;
}
