// How good the rulebook itself is:
//
//   gearwhy_benchmark_rulebook [discrimination [UNIT...] | steadiness [DRAWS] [CASE...]]
//                              [--rules FOLDER] [--world FOLDER] [--known-to FOLDER]
//
// Discrimination: of each fault that a unit can have, taken alone, its typical findings are observed
// (typical_findings.h), each with the trust of the cheapest check that tells it (those of the dearest are
// left out where all of them are too wide to be weighed exactly). The fault counts as found when it, or a
// twin that these findings cannot tell from it, is among the first three suspects. Every unit in its first
// variant, no history. Once with everything, and once on the road: with what the customer tells, a drive,
// a gauge and the control module tell, and no more; faults of which these show nothing are left out there.
//
// To compare two rulebooks, `--world` names the one whose faults and findings are taken, `--rules` the one
// that is judged. `--known-to` keeps to faults that this third one knows as well, so that both are judged by
// the same.
//
// Steadiness: in each draw every frequency of the rulebook goes one step up or down (moved_frequencies.h).
// Counted is in how many draws the first suspect of a case stays who it is.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "cli/commands.h"
#include "cli/session.h"
#include "engine/belief/compiled_network.h"
#include "engine/explain/place_accounts.h"
#include "engine/text/at.h"
#include "tests/support/first_variant.h"
#include "engine/study/moved_frequencies.h"
#include "tests/support/typical_findings.h"

namespace gearwhy {
namespace {

constexpr std::size_t kFirst = 3;
constexpr int kDraws = 200;

double PerCent(double part, double whole) { return whole > 0 ? 100 * part / whole : 0; }

// Faults, likeliest first, ties by id: the order of `gearwhy rank`.
std::vector<int> FaultsInOrder(const Network& network, const std::vector<double>& p_event) {
  std::vector<int> faults;
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    if (network.events[i].type == EventType::kFault && !std::isnan(p_event[i]))
      faults.push_back(static_cast<int>(i));
  }
  std::sort(faults.begin(), faults.end(), [&](int a, int b) {
    if (p_event[At(a)] != p_event[At(b)]) return p_event[At(a)] > p_event[At(b)];
    return network.events[At(a)].id < network.events[At(b)].id;
  });
  return faults;
}

// ---- Discrimination

// The cheapest check, its access paid in full, that tells each finding here.
class CheapestChecks {
 public:
  struct Entry {
    double minutes = std::numeric_limits<double>::infinity();
    std::string check;
    const Trust* trust = nullptr;
  };

  explicit CheapestChecks(const Diagnosis& diagnosis) {
    const Words& words = diagnosis.book->words;
    none_.trust = &words.trusts.front();
    for (const Check& check : diagnosis.book->checks) {
      double minutes = check.minutes;
      for (auto it = words.access.find(check.access); it != words.access.end();
           it = words.access.find(it->second.from)) {
        minutes += it->second.minutes;
      }
      const Entry entry{minutes, check.id, words.FindTrust(check.trust)};
      for (const Match& match : FindMatches(check.when, diagnosis.Likeliest().store)) {
        for (const Pattern& tells : check.tells) {
          Entry& known = cheapest_.try_emplace(Fill(tells, match.bindings)).first->second;
          if (std::tie(entry.minutes, entry.check) < std::tie(known.minutes, known.check)) known = entry;
        }
      }
    }
  }
  // Where no check tells it, the default trust.
  const Entry& Of(const Statement& finding) const {
    const auto known = cheapest_.find(finding);
    return known == cheapest_.end() ? none_ : known->second;
  }

 private:
  Entry none_;
  std::map<Statement, Entry> cheapest_;
};

// Where all reports together are too wide to be weighed exactly, the dearest are left out until they are not.
// Whether any was.
bool LeaveOutUntilExact(const Diagnosis& diagnosis, const CheapestChecks& cheapest, Network& network) {
  bool any = false;
  while (!CompiledNetwork(network, {}, {}).fits()) {
    const auto minutes = [&](const Report& report) {
      return cheapest.Of(diagnosis.ground.events[At(report.event)].statement).minutes;
    };
    const auto dearest =
        std::max_element(network.reports.begin(), network.reports.end(),
                         [&](const Report& a, const Report& b) { return minutes(a) < minutes(b); });
    network.reports.erase(dearest);
    any = true;
  }
  return any;
}

struct Missed {
  std::string fault;
  std::size_t rank = 0;  // of it or its first twin, from 1; 0: not among the suspects at all
  double chance = 0;
  std::vector<std::string> before;  // who came first
  std::vector<std::string> typical;
};

// How far what was observed leads to the cause and to its place.
struct Hits {
  std::size_t faults = 0, cause_first = 0, cause_found = 0, place_first = 0, place_found = 0;

  void Add(const Hits& other) {
    faults += other.faults;
    cause_first += other.cause_first;
    cause_found += other.cause_found;
    place_first += other.place_first;
    place_found += other.place_found;
  }
};

struct UnitScore {
  std::string unit;
  std::size_t faults = 0, found = 0, cut = 0;
  Hits with_everything, on_the_road;
  std::map<std::string, std::pair<int, int>> modes;  // name -> found, all
  std::vector<Missed> missed;

  double ModesFound() const {
    double sum = 0;
    for (const auto& [name, counts] : modes) sum += double(counts.first) / counts.second;
    return sum;
  }
};

class Discrimination {
 public:
  // `known_to` may be null.
  Discrimination(Session& session, Session& world, Session* known_to)
      : session_(session), world_(world), known_to_(known_to) {
    const auto usually = world.book().words.how_often.find("usually");
    if (usually != world.book().words.how_often.end()) p_usually_ = usually->second;
  }

  std::optional<UnitScore> Judge(const std::string& unit, Diagnostics& diagnostics) {
    Case nothing;
    nothing.id = "nothing";
    nothing.unit = unit;
    nothing.variant = FirstVariant(world_, unit);
    const auto unobserved = world_.GroundCase(nothing, diagnostics);
    const auto judged = session_.GroundCase(nothing, diagnostics);
    const auto third = known_to_ != nullptr ? known_to_->GroundCase(nothing, diagnostics) : std::nullopt;
    if (!unobserved || !judged) return std::nullopt;
    const Network& network = unobserved->ground.network;
    const auto effects = EffectsOf(network);
    std::map<int, Typical> typical;
    for (std::size_t i = 0; i < network.events.size(); ++i) {
      if (network.events[i].type != EventType::kFault) continue;
      typical[static_cast<int>(i)] = TypicalFindings(network, effects, static_cast<int>(i), p_usually_);
    }
    UnitScore score;
    score.unit = unit;
    for (const auto& [fault, shows] : typical) {
      std::set<std::string> twins;
      for (const auto& [other, others] : typical) {
        if (AreTwins(shows, others)) twins.insert(network.events[At(other)].id);
      }
      const Statement& statement = unobserved->ground.events[At(fault)].statement;
      if (!judged->ground.Find(statement) || (third && !third->ground.Find(statement))) continue;
      std::vector<Statement> findings;
      for (const int finding : shows.findings) {
        const Statement& shown = unobserved->ground.events[At(finding)].statement;
        if (judged->ground.Find(shown)) findings.push_back(shown);
      }
      Take(statement, findings, twins, score, diagnostics);
    }
    return score;
  }

 private:
  // Where the cause, or a twin of it, and its place stand among the suspects, each counted from 1, 0 for
  // nowhere.
  struct Ranks {
    std::size_t cause = 0, place = 0;
    double chance = 0;
    std::vector<std::string> before;
    bool cut = false;
  };

  std::optional<Ranks> RanksOf(const std::string& unit, const Statement& fault,
                               const std::vector<Statement>& findings, const std::set<std::string>& twins,
                               bool on_the_road, Diagnostics& diagnostics) {
    Case c;
    c.id = StatementId(fault);
    c.unit = unit;
    c.variant = FirstVariant(world_, unit);
    for (const Statement& finding : findings) {
      Observation observation;
      observation.event = finding;
      c.observations.push_back(observation);
    }
    auto diagnosis = session_.GroundCase(c, diagnostics);
    if (!diagnosis) return std::nullopt;
    Network& network = diagnosis->ground.network;
    const CheapestChecks cheapest(*diagnosis);
    std::vector<Report> reports;
    for (std::size_t r = 0; r < network.reports.size(); ++r) {
      Report report = network.reports[r];
      // A rule's conclusion has a trust of its own.
      const bool observed = diagnosis->ground.reports[r].observation >= 0;
      const Trust& trust = *cheapest.Of(diagnosis->ground.events[At(report.event)].statement).trust;
      if (on_the_road && !(observed && IsOnTheRoad(trust))) continue;
      if (observed) {
        const ReportChances as_present =
            ChancesOfReport(trust, diagnosis->ground.common->Of(report.event), true);
        report.p_if_present = as_present.p_if_present;
        report.p_if_absent = as_present.p_if_absent;
      }
      reports.push_back(report);
    }
    network.reports = std::move(reports);
    if (on_the_road && network.reports.empty()) return std::nullopt;
    Ranks ranks;
    ranks.cut = LeaveOutUntilExact(*diagnosis, cheapest, network);
    const Chances chances = ComputeChances(network);
    const FaultPlace here = PlaceOf(*diagnosis, *diagnosis->ground.Find(fault));
    std::vector<FaultPlace> places;
    const std::vector<int> order = FaultsInOrder(network, chances.p_event);
    for (std::size_t i = 0; i < order.size() && (ranks.cause == 0 || ranks.place == 0); ++i) {
      const std::string& id = network.events[At(order[i])].id;
      const double p = chances.p_event[At(order[i])];
      if (const FaultPlace place = PlaceOf(*diagnosis, order[i]);
          std::find(places.begin(), places.end(), place) == places.end()) {
        places.push_back(place);
        if (place == here) ranks.place = places.size();
      }
      if (ranks.cause != 0) continue;
      if (id == c.id || (!findings.empty() && twins.contains(id))) {
        ranks.cause = i + 1;
        ranks.chance = p;
      } else if (i < kFirst) {
        ranks.before.push_back(fmt::format("{} {:.3f}", id, p));
      }
    }
    return ranks;
  }

  // What is told, driven, and read without opening anything.
  static bool IsOnTheRoad(const Trust& trust) {
    static const std::set<std::string> names = {"customer", "road_test", "gauge", "scan", "stored"};
    return names.contains(trust.name);
  }

  static void Count(const Ranks& ranks, Hits& hits) {
    ++hits.faults;
    hits.cause_first += ranks.cause == 1;
    hits.cause_found += ranks.cause >= 1 && ranks.cause <= kFirst;
    hits.place_first += ranks.place == 1;
    hits.place_found += ranks.place >= 1 && ranks.place <= kFirst;
  }

  void Take(const Statement& fault, const std::vector<Statement>& findings,
            const std::set<std::string>& twins, UnitScore& score, Diagnostics& diagnostics) {
    const auto ranks = RanksOf(score.unit, fault, findings, twins, false, diagnostics);
    if (!ranks) return;
    if (const auto road = RanksOf(score.unit, fault, findings, twins, true, diagnostics))
      Count(*road, score.on_the_road);
    if (findings.empty()) {
      ++score.with_everything.faults;
    } else {
      Count(*ranks, score.with_everything);
    }
    score.cut += ranks->cut;
    const bool found = !findings.empty() && ranks->cause >= 1 && ranks->cause <= kFirst;
    auto& [mode_found, mode_all] = score.modes[fault.name];
    ++score.faults;
    ++mode_all;
    if (found) {
      ++score.found;
      ++mode_found;
      return;
    }
    Missed missed{StatementId(fault), ranks->cause, ranks->chance, ranks->before, {}};
    for (const Statement& finding : findings) missed.typical.push_back(StatementId(finding));
    score.missed.push_back(std::move(missed));
  }

  Session& session_;
  Session& world_;
  Session* known_to_;
  double p_usually_ = 0.8;
};

std::string Joined(const std::vector<std::string>& texts, std::size_t most) {
  std::string joined;
  for (std::size_t i = 0; i < std::min(texts.size(), most); ++i) joined += (i > 0 ? ", " : "") + texts[i];
  return texts.size() > most ? fmt::format("{} and {} more", joined, texts.size() - most) : joined;
}

// The sessions of the book that is judged, of the world, and of whom the faults must be known to.
struct Sessions {
  std::unique_ptr<Session> judged, world, known_to;
};

void PrintHits(const char* how, const Hits& hits) {
  const double n = static_cast<double>(hits.faults);
  const auto share = [&](std::size_t part) { return PerCent(static_cast<double>(part), n); };
  fmt::print(
      "  {:<34} {} faults: place first {:.1f}%, within {} {:.1f}%; cause first {:.1f}%, within {} {:.1f}%\n",
      how, hits.faults, share(hits.place_first), kFirst, share(hits.place_found), share(hits.cause_first),
      kFirst, share(hits.cause_found));
}

bool RunDiscrimination(Sessions& sessions, const std::vector<std::string>& units) {
  Session& session = *sessions.judged;
  Discrimination discrimination(session, sessions.world ? *sessions.world : session, sessions.known_to.get());
  std::vector<UnitScore> scores;
  for (const std::string& unit : units.empty() ? session.shelf().Names() : units) {
    Diagnostics diagnostics;
    auto score = discrimination.Judge(unit, diagnostics);
    session.Print(diagnostics);
    if (!score) return false;
    std::sort(score->missed.begin(), score->missed.end(),
              [](const Missed& a, const Missed& b) { return a.fault < b.fault; });
    scores.push_back(std::move(*score));
  }
  fmt::print("Discrimination: the fault or a twin among the first {} for its typical findings alone\n",
             kFirst);
  double found = 0, faults = 0, modes_found = 0, modes = 0;
  const auto line = [](const std::string& name, double f, double n, double mf, double m) {
    fmt::print("  {:<34} {:5.1f}% of {} faults, {:5.1f}% of {} modes\n", name, PerCent(f, n), n,
               PerCent(mf, m), m);
  };
  for (const UnitScore& score : scores) {
    const auto size = [](std::size_t n) { return static_cast<double>(n); };
    line(score.unit, size(score.found), size(score.faults), score.ModesFound(), size(score.modes.size()));
    if (score.cut > 0)
      fmt::print("    (for {} of them some findings were left out, to weigh the others exactly)\n",
                 score.cut);
    found += size(score.found);
    faults += size(score.faults);
    modes_found += score.ModesFound();
    modes += size(score.modes.size());
  }
  line("all", found, faults, modes_found, modes);
  Hits with_everything, on_the_road;
  for (const UnitScore& score : scores) {
    with_everything.Add(score.with_everything);
    on_the_road.Add(score.on_the_road);
  }
  PrintHits("all, with everything", with_everything);
  PrintHits("all, on the road", on_the_road);
  for (const UnitScore& score : scores) {
    fmt::print("\nMissed in {}, its rank and chance, who came first, and what was observed:\n", score.unit);
    for (const Missed& missed : score.missed) {
      const auto& [mode_found, mode_all] = score.modes.at(missed.fault.substr(0, missed.fault.find(':')));
      const std::string rank =
          missed.rank == 0 ? "no suspect" : fmt::format("number {}, {:.4f}", missed.rank, missed.chance);
      fmt::print("  {}: {} (of its mode {} of {} missed)\n", missed.fault, rank, mode_all - mode_found,
                 mode_all);
      fmt::print("      first:    {}\n", Joined(missed.before, kFirst));
      fmt::print("      observed: {}\n",
                 missed.typical.empty() ? "nothing can be" : Joined(missed.typical, 8));
    }
  }
  return true;
}

// ---- Steadiness

bool RunSteadiness(Session& session, const std::vector<std::string>& named, int draws) {
  struct Steady {
    std::string id, first;
    double chance = 0;
    int same = 0;
    std::map<std::string, int> others;
  };
  const Rulebook& book = session.book();
  std::vector<MovedFrequencies> moved;
  for (int draw = 0; draw < draws; ++draw) moved.emplace_back(book, static_cast<std::uint64_t>(draw) + 1);
  Diagnostics diagnostics;
  std::vector<Steady> cases;
  for (const std::string& path :
       ExpandCases(named.empty() ? std::vector{ShippedFolder("cases")} : named, diagnostics)) {
    const auto c = session.ReadCase(path, diagnostics);
    const auto diagnosis = c ? session.GroundCase(*c, diagnostics) : std::nullopt;
    if (diagnostics.HasErrors() || !diagnosis) {
      session.Print(diagnostics);
      return false;
    }
    const Network& network = diagnosis->ground.network;
    const Chances chances = ComputeChances(network);
    const auto first_of = [&](const Chances& of) {
      const auto order = FaultsInOrder(network, of.p_event);
      return order.empty() ? -1 : order.front();
    };
    const int first = first_of(chances);
    if (first < 0) continue;
    Steady steady{c->id, network.events[At(first)].id, chances.p_event[At(first)], 0, {}};
    for (const MovedFrequencies& draw : moved) {
      const int now = first_of(ComputeChances(draw.Apply(diagnosis->ground)));
      if (now == first) {
        ++steady.same;
      } else {
        ++steady.others[now < 0 ? "none" : network.events[At(now)].id];
      }
    }
    cases.push_back(std::move(steady));
  }
  std::stable_sort(cases.begin(), cases.end(),
                   [](const Steady& a, const Steady& b) { return a.same < b.same; });
  long same = 0;
  for (const Steady& steady : cases) same += steady.same;
  fmt::print("Steadiness: the first suspect stays in {:.1f}% of {} draws of {} cases\n",
             PerCent(static_cast<double>(same), static_cast<double>(cases.size()) * draws), draws,
             cases.size());
  for (const Steady& steady : cases) {
    fmt::print("  {:5.1f}%  {}: {} {:.3f}", PerCent(steady.same, draws), steady.id, steady.first,
               steady.chance);
    std::vector<std::pair<int, std::string>> others;
    for (const auto& [id, count] : steady.others) others.emplace_back(-count, id);
    std::sort(others.begin(), others.end());
    for (std::size_t i = 0; i < std::min<std::size_t>(others.size(), 3); ++i) {
      fmt::print("{} {} {:.1f}%", i == 0 ? "; else" : ",", others[i].second,
                 PerCent(-others[i].first, draws));
    }
    fmt::print("\n");
  }
  return true;
}

// Takes the option and its folder out of the arguments.
std::string TakeOption(std::vector<std::string>& arguments, const std::string& name) {
  const auto it = std::find(arguments.begin(), arguments.end(), name);
  if (it == arguments.end() || it + 1 == arguments.end()) return "";
  const std::string folder = *(it + 1);
  arguments.erase(it, it + 2);
  return folder;
}

int Run(std::vector<std::string> arguments) {
  const std::string rules = TakeOption(arguments, "--rules"), world = TakeOption(arguments, "--world"),
                    known_to = TakeOption(arguments, "--known-to");
  bool discrimination = true, steadiness = true;
  if (!arguments.empty() && (arguments[0] == "discrimination" || arguments[0] == "steadiness")) {
    discrimination = arguments[0] == "discrimination";
    steadiness = !discrimination;
    arguments.erase(arguments.begin());
  }
  int draws = kDraws;
  if (!arguments.empty() && arguments[0].find_first_not_of("0123456789") == std::string::npos) {
    draws = std::max(1, std::atoi(arguments[0].c_str()));
    arguments.erase(arguments.begin());
  }
  if (discrimination && steadiness && !arguments.empty()) {
    fmt::print(stderr,
               "usage: gearwhy_benchmark_rulebook [discrimination [UNIT...] | steadiness [DRAWS] [CASE...]]\n"
               "       [--rules FOLDER] [--world FOLDER] [--known-to FOLDER]\n");
    return kBadCommand;
  }
  Sessions sessions;
  sessions.judged = Session::Open({rules, {}});
  if (!world.empty()) sessions.world = Session::Open({world, {}});
  if (!known_to.empty()) sessions.known_to = Session::Open({known_to, {}});
  if (!sessions.judged || (!world.empty() && !sessions.world) || (!known_to.empty() && !sessions.known_to))
    return kInputErrors;
  bool good = true;
  if (discrimination) good &= RunDiscrimination(sessions, arguments);
  if (discrimination && steadiness) fmt::print("\n");
  if (steadiness) good &= RunSteadiness(*sessions.judged, arguments, draws);
  return good ? kDone : kInputErrors;
}

}  // namespace
}  // namespace gearwhy

int main(int argc, char** argv) { return gearwhy::Run({argv + 1, argv + argc}); }
