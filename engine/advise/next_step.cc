#include "engine/advise/next_step.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "engine/belief/after_repair.h"
#include "engine/model/access.h"
#include "engine/model/needs.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"
#include "engine/text/for_order.h"

namespace gearwhy {
namespace {

// What the check measures here, as far as neither the case nor the unit gives a number for it: of a lining
// whose limit the unit states the thickness alone.
std::vector<NumberWanted> NumbersWanted(const Diagnosis& diagnosis, const GroundCheck& ground) {
  std::vector<NumberWanted> measures;
  for (const Pattern& pattern : ground.check->measures) {
    const Word& word = *diagnosis.book->words.Find(pattern.name);
    NumberWanted measure;
    Pattern filled = pattern;
    for (std::size_t i = 0; i < word.slots.size(); ++i) {
      if (!std::holds_alternative<Anything>(filled.terms[i])) continue;
      filled.terms[i].emplace<Value>(0.0);
      measure.quantities.push_back(static_cast<int>(i));
    }
    measure.fact = Fill(filled, ground.bindings);
    const FactStore& store = diagnosis.Likeliest().store;
    const FactList stated = store.Named(Sense::kFact, pattern.name);
    const bool known = std::any_of(stated.begin(), stated.end(), [&](FactId fact) {
      Statement blank = store.Get(fact).statement;
      for (const int i : measure.quantities) blank.slots[At(i)] = 0.0;
      return blank == measure.fact;
    });
    if (!known) measures.push_back(std::move(measure));
  }
  return measures;
}

// Where the vehicle runs for the check, under which circumstances to try it.
void TellUnder(const Diagnosis& diagnosis, const GroundCheck& ground, NextQuestion& question) {
  if (!ground.check->running) return;
  const Words& words = diagnosis.book->words;
  std::set<std::string> known;
  for (const AskedFinding& finding : question.check.findings) {
    for (const std::string& name : ComesUnder(words, finding.event, ReportedIn(diagnosis.Likeliest().store)))
      known.insert(name);
  }
  for (const std::string& name : known) {
    const Circumstance& circumstance = words.circumstances.find(name)->second;
    if (known.contains(circumstance.opposite)) continue;  // both: it cannot be tried at once
    question.under.push_back(name);
    const Circumstance& other = words.circumstances.find(circumstance.opposite)->second;
    question.how_under += fmt::format(
        "{}{}{}The answer counts as found {}; where it was otherwise, say so behind it, as in 2 {}.",
        question.how_under.empty() ? "" : " ", circumstance.how, circumstance.how.empty() ? "" : " ",
        circumstance.says, other.name);
  }
}

// The circumstances of an answer: those named, and else those under which it was to be tried.
std::vector<std::string> UnderOf(const Words& words, const NextQuestion& question,
                                 const QuestionAnswer& answer) {
  std::set<std::string> under(answer.under.begin(), answer.under.end());
  for (const std::string& name : question.under) {
    if (!under.contains(words.circumstances.find(name)->second.opposite)) under.insert(name);
  }
  return {under.begin(), under.end()};
}

constexpr std::size_t kWatched = 3;  // of the likeliest faults

double ChanceOf(const FaultChances& faults, const std::string& fault) {
  const auto it =
      std::find_if(faults.begin(), faults.end(), [&](const FaultChance& f) { return f.fault == fault; });
  return it == faults.end() ? 0 : it->chance;
}

// Whether it is so soon done with the unit in, and tells so much, that it is done before the unit comes out.
bool IsGlance(const Words& words, const GroundCheck& ground, const WeighedCheck& one) {
  return one.minutes <= kMinutesOfAGlance && !NeedsUnitOut(words, ground.check->access) &&
         one.answers.exact && one.moves >= kLeastMovedBeforeUnitOut;
}

// What a customer complains of, to be tried by somebody who knows before the vehicle no longer runs; none
// where `then`, which comes next, leaves it running, or where the trial would tell next to nothing.
const WeighedCheck* TriesComplaint(const Diagnosis& diagnosis, const CaseChecks& checks,
                                   const std::vector<const WeighedCheck*>& asked, const WeighedCheck& then) {
  std::vector<std::string> open = diagnosis.c->open;
  open.push_back(checks.ground[then.check].check->access);
  if (CanRun(diagnosis.book->words, open)) return nullptr;
  const auto it = std::find_if(asked.begin(), asked.end(), [&](const WeighedCheck* one) {
    return !checks.ground[one->check].complained.empty() && one->answers.exact &&
           one->moves >= kLeastMovedBeforeUnitOut;
  });
  return it == asked.end() ? nullptr : *it;
}

// The check with the unit in that could most change whether it comes out; none where none could by enough.
const WeighedCheck* CouldKeepItIn(const CaseChecks& checks, const std::vector<const WeighedCheck*>& asked,
                                  const PullDecision& pull) {
  if (pull.advice != PullAdvice::kLookFirst) return nullptr;
  for (const PullChange& change : pull.changes) {
    if (std::abs(change.then - pull.outcome->marked) < kLeastMoved) continue;
    const auto it = std::find_if(asked.begin(), asked.end(), [&](const WeighedCheck* one) {
      return checks.ground[one->check].key == change.key;
    });
    if (it != asked.end() && WorthAsking((*it)->bits, (*it)->minutes_beside_repair)) return *it;
  }
  return nullptr;
}

// Leaves what is worth asking for beside the rest, and fits on a screen.
void KeepWorthAskingFor(NextCheck& check) {
  std::vector<AskedFinding>& findings = check.findings;
  const std::size_t told = findings.size();
  double most = 0;
  for (const AskedFinding& finding : findings) most = std::max(most, finding.chance);
  if (most > 0) {
    std::erase_if(findings, [&](const AskedFinding& finding) {
      return finding.chance < kWorthAskingFor && finding.chance < most;
    });
  }
  if (findings.size() > kMostAskedAtOnce) findings.resize(kMostAskedAtOnce);
  if (findings.size() < told) check.all_good.reset();  // it would deny the others, too
}

NextStep MakeStep(const Diagnosis& diagnosis, const CaseChecks& checks, const InterviewState& state,
                  NextStep::Kind kind, const WeighedCheck& one) {
  const GroundCheck& ground = checks.ground[one.check];
  NextStep step{kind, {DescribeCheck(diagnosis, checks, one), {}}};
  TellUnder(diagnosis, ground, step.question);
  if (!state.measured.contains(ground.key)) step.question.measures = NumbersWanted(diagnosis, ground);
  // First before second, as a list is read; what tells most may stand anywhere in it.
  std::vector<AskedFinding>& findings = step.question.check.findings;
  KeepWorthAskingFor(step.question.check);
  std::sort(findings.begin(), findings.end(), [&](const AskedFinding& a, const AskedFinding& b) {
    return diagnosis.ground.Find(a.event) < diagnosis.ground.Find(b.event);
  });
  return step;
}

}  // namespace

NextStep FindNextStep(const Diagnosis& diagnosis, const CaseChecks& checks, const InterviewState& state) {
  // By what is not known no question can be chosen.
  if (!ExactnessOf(diagnosis).known) return {};
  const Words& words = diagnosis.book->words;
  const bool unit_out = UnitIsOut(words, diagnosis.c->open);
  std::vector<const WeighedCheck*> asked = ChecksThatTell(checks);
  std::erase_if(
      asked, [&](const WeighedCheck* one) { return state.passed.contains(checks.ground[one->check].key); });
  // What is left of a check that is being made costs nothing more.
  for (const WeighedCheck* one : asked) {
    if (checks.ground[one->check].key == state.going_on)
      return MakeStep(diagnosis, checks, state, NextStep::Kind::kAsk, *one);
  }
  const WeighedCheck* best_out = nullptr;
  const WeighedCheck* best_in = nullptr;
  bool out_comes_first = false;  // of those worth asking
  for (const WeighedCheck* one : asked) {
    if (!state.ask_anything && !IsWorthMaking(diagnosis, checks, *one)) continue;
    const bool needs_out = NeedsUnitOut(words, checks.ground[one->check].check->access);
    const WeighedCheck*& best = needs_out && !unit_out ? best_out : best_in;
    if (best == nullptr) best = one;
    if (best_in == nullptr) out_comes_first = true;
  }
  const bool stays_in = best_in != nullptr && (!out_comes_first || state.keep_unit_in);
  if (const WeighedCheck* best = stays_in ? best_in : best_out) {
    if (const WeighedCheck* trial = TriesComplaint(diagnosis, checks, asked, *best))
      return MakeStep(diagnosis, checks, state, NextStep::Kind::kAsk, *trial);
  }
  if (stays_in) return MakeStep(diagnosis, checks, state, NextStep::Kind::kAsk, *best_in);
  if (best_out == nullptr || state.keep_unit_in) return {};
  const std::optional<Outcome> outcome = OutcomeNow(diagnosis);
  if (best_in != nullptr && MayStayIn(outcome) && CouldChange(*best_in))
    return MakeStep(diagnosis, checks, state, NextStep::Kind::kAsk, *best_in);
  if (IsToStayIn(outcome) && !state.ask_anything) return {};
  // A day's work waits for what is seen at a glance.
  for (const WeighedCheck* one : asked) {
    if (IsGlance(words, checks.ground[one->check], *one))
      return MakeStep(diagnosis, checks, state, NextStep::Kind::kAsk, *one);
  }
  const PullDecision pull = DecidePull(diagnosis, checks, outcome);
  if (const WeighedCheck* one = CouldKeepItIn(checks, asked, pull))
    return MakeStep(diagnosis, checks, state, NextStep::Kind::kAsk, *one);
  const bool is_open = !state.ask_anything && outcome->marked < kWouldChange;
  NextStep step =
      is_open ? NextStep{} : MakeStep(diagnosis, checks, state, NextStep::Kind::kUnitOut, *best_out);
  step.pull = pull;
  return step;
}

namespace {

// By event: whether somebody has seen directly that it is so.
std::vector<char> SeenIn(const Diagnosis& diagnosis) {
  const auto& network = diagnosis.ground.network;
  std::vector<char> seen(network.events.size(), 0);
  for (std::size_t r = 0; r < network.reports.size(); ++r) {
    const Report& report = network.reports[r];
    const int observation = diagnosis.ground.reports[r].observation;
    if (!report.present || observation < 0) continue;
    const std::string& trust = diagnosis.c->observations[At(observation)].trust;
    if (!diagnosis.book->words.FindTrust(trust)->direct) continue;
    seen[At(report.event)] = 1;
    const Event& event = network.events[At(report.event)];
    if (event.type != EventType::kFinding) continue;
    for (const Cause& cause : event.causes) {
      if (IsSight(event, cause)) seen[At(cause.event)] = 1;
    }
  }
  return seen;
}

// Whether every complaint would most likely be gone with all that is broken most likely.
bool WouldEnd(const Diagnosis& diagnosis) {
  const Network& network = diagnosis.ground.network;
  std::vector<MendedFault> mended;
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    if (network.events[i].type == EventType::kFault && diagnosis.chances.p_event[i] >= kLikely)
      mended.push_back({static_cast<int>(i), 0});
  }
  std::vector<int> complaints;
  for (std::size_t r = 0; r < network.reports.size(); ++r) {
    const int observation = diagnosis.ground.reports[r].observation;
    if (observation >= 0 && network.reports[r].present &&
        diagnosis.c->observations[At(observation)].complaint)
      complaints.push_back(network.reports[r].event);
  }
  if (complaints.empty()) return true;
  const AfterRepair after = ChancesAfterRepair(network, mended, {}, complaints, diagnosis.limits);
  // What is not known does not hold.
  return std::all_of(after.p_still.begin(), after.p_still.end(), [](double p) { return p <= kEndsUpTo; });
}

}  // namespace

bool SeenDirectly(const Diagnosis& diagnosis, const RankReport& report) {
  if (std::any_of(report.unexplained.begin(), report.unexplained.end(),
                  [](const Unexplained& one) { return one.complaint; }))
    return false;
  const std::vector<char> seen = SeenIn(diagnosis);
  const Suspect* lead = nullptr;
  for (const Suspect& suspect : report.suspects) {
    if (suspect.role == Role::kConsequence) continue;
    if (lead == nullptr) {
      lead = &suspect;
      // What something else may have brought about is not the root.
      if (suspect.chance < kSeenFrom || suspect.role != Role::kRoot) return false;
    }
    if (suspect.chance >= kLikely && !seen[At(suspect.event)]) return false;
  }
  return lead != nullptr && WouldEnd(diagnosis);
}

std::optional<CaseChange> OpenedBy(const Diagnosis& diagnosis, const std::string& access) {
  const Words& words = diagnosis.book->words;
  if (IsStart(words, access)) return std::nullopt;
  if (OpenAccess(words, diagnosis.c->open).contains(access)) return std::nullopt;
  CaseChange change;
  change.list = CaseList::kOpen;
  change.access = access;
  return change;
}

std::vector<CaseChange> ChangesOf(const Diagnosis& diagnosis, const NextQuestion& question,
                                  const QuestionAnswer& answer) {
  std::vector<CaseChange> changes;
  const auto named = [](const std::vector<int>& indices, std::size_t i) {
    return std::find(indices.begin(), indices.end(), static_cast<int>(i)) != indices.end();
  };
  const std::vector<std::string> under = UnderOf(diagnosis.book->words, question, answer);
  bool looked = false;
  if (question.check.all_good && answer.present.empty() && answer.unknown.empty()) {
    CaseChange change;
    change.statement = *question.check.all_good;
    change.present = false;
    change.trust = question.check.trust;
    change.under = under;
    changes.push_back(std::move(change));
    if (auto opened = OpenedBy(diagnosis, question.check.access_name)) changes.push_back(std::move(*opened));
    return changes;
  }
  std::vector<Implied> known;
  for (const int i : answer.present) {
    const std::vector<Implied> implied = ImpliedBy(*diagnosis.book, question.check.findings[At(i)].event);
    known.insert(known.end(), implied.begin(), implied.end());
  }
  for (std::size_t i = 0; i < question.check.findings.size(); ++i) {
    CaseChange change;
    change.statement = question.check.findings[i].event;
    if (named(answer.unknown, i)) {
      change.list = CaseList::kUnknown;
    } else {
      const bool present = named(answer.present, i);
      if (!present && CannotTell(diagnosis.book->words, change.statement, known)) continue;
      change.list = CaseList::kObserved;
      change.present = present;
      change.trust = question.check.trust;
      change.under = under;
      looked = true;
    }
    changes.push_back(std::move(change));
  }
  if (looked) {
    if (auto opened = OpenedBy(diagnosis, question.check.access_name)) changes.push_back(std::move(*opened));
  }
  return changes;
}

FaultChances FaultChancesOf(const Diagnosis& diagnosis) {
  FaultChances faults;
  for (std::size_t i = 0; i < diagnosis.ground.events.size(); ++i) {
    const Event& event = diagnosis.ground.network.events[i];
    const double chance = diagnosis.chances.p_event[i];
    if (event.type == EventType::kFault && !std::isnan(chance))
      faults.push_back({event.id, diagnosis.ground.events[i].statement, chance});
  }
  std::sort(faults.begin(), faults.end(), [](const FaultChance& a, const FaultChance& b) {
    return ForOrder(a.chance) != ForOrder(b.chance) ? a.chance > b.chance : a.fault < b.fault;
  });
  return faults;
}

std::vector<MovedSuspect> MovedSuspects(const FaultChances& before, const Diagnosis& after) {
  const FaultChances now = FaultChancesOf(after);
  FaultChances shown(now.begin(), now.begin() + static_cast<std::ptrdiff_t>(std::min(now.size(), kWatched)));
  const FaultChance* fallen = nullptr;
  double fall = 0;
  for (std::size_t i = 0; i < before.size() && i < kWatched; ++i) {
    const bool is_shown = std::any_of(shown.begin(), shown.end(),
                                      [&](const FaultChance& f) { return f.fault == before[i].fault; });
    const double lost = before[i].chance - ChanceOf(now, before[i].fault);
    if (is_shown || lost <= fall) continue;
    fall = lost;
    fallen = &before[i];
  }
  if (fallen != nullptr) shown.push_back(*fallen);
  std::vector<MovedSuspect> moved;
  for (const FaultChance& one : shown) {
    const double was = ChanceOf(before, one.fault), is = ChanceOf(now, one.fault);
    if (std::abs(is - was) < 0.005) continue;
    moved.push_back({one.fault, one.statement, was, is});
  }
  return moved;
}

namespace {

// The check that would tell most, whatever it takes, of those whose answers are worked out before the others;
// nothing where none tells enough to be spoken of.
const WeighedCheck* TellsMost(const std::vector<const WeighedCheck*>& checks) {
  const auto tells = [](const WeighedCheck& one) {
    return std::tuple(one.answers.exact, one.moves, one.bits);
  };
  const WeighedCheck* most = nullptr;
  for (const WeighedCheck* one : checks) {
    if (most == nullptr || tells(*one) > tells(*most)) most = one;
  }
  return most != nullptr && most->bits >= kLeastBits ? most : nullptr;
}

// What can be looked at while everything is open that the repair opens. `settles` is spoken of already.
std::vector<NextCheck> WhileOpen(const Diagnosis& diagnosis, const CaseChecks& checks,
                                 const std::string& repair, const WeighedCheck* settles, bool settled) {
  const Words& words = diagnosis.book->words;
  std::vector<std::string> open = diagnosis.c->open;
  const std::set<std::string> open_now = OpenAccess(words, open);
  open.push_back(repair);
  const std::set<std::string> open_then = OpenAccess(words, open);
  const bool can_run = CanRun(words, open);
  const CaseChecks opened = WeighOpened(diagnosis, checks, open);
  std::vector<NextCheck> while_open;
  for (const WeighedCheck* one : ChecksThatTell(opened)) {
    const Check& check = *opened.ground[one->check].check;
    if (while_open.size() == kMostWhileOpen) break;
    if (one->bits < kLeastBits || MinutesToReach(words, check.access, open_then) > 0) continue;
    if (!settled && open_now.contains(check.access)) continue;  // it could have been asked
    if (settles != nullptr && settles->check == one->check) continue;
    if (IsStart(words, check.access) || (check.running && !can_run)) continue;
    while_open.push_back(DescribeCheck(diagnosis, opened, *one));
  }
  return while_open;
}

// The two places of which it is most likely one, or none.
std::vector<PlaceAccount> OneOfTwo(const Diagnosis& diagnosis) {
  std::vector<PlaceAccount> two = MakePlaceAccounts(diagnosis, -1).likeliest;
  if (two.size() < 2) return {};
  two.resize(2);
  for (const PlaceAccount& account : two) {
    if (account.places.size() != 1 || account.chance < kEachOfTwo) return {};
  }
  if (two[0].chance + two[1].chance < kOneOfTwo) return {};
  return two;
}

}  // namespace

NextStep FindFirstStep(const Diagnosis& diagnosis, const CaseChecks& checks, const RankReport& report) {
  if (SeenDirectly(diagnosis, report)) return {NextStep::Kind::kSettled, {}};
  return FindNextStep(diagnosis, checks, {});
}

PullDecision DecideAt(const Diagnosis& diagnosis, const CaseChecks& checks, const NextStep& step,
                      PullWanted wanted) {
  return step.pull ? *step.pull : DecidePull(diagnosis, checks, OutcomeNow(diagnosis), wanted);
}

bool IsLookWithUnitIn(const NextStep& step) {
  return step.kind == NextStep::Kind::kAsk && !step.question.check.needs_unit_out;
}

Standing Conclude(const Diagnosis& diagnosis, const CaseChecks& checks, const RankReport& report,
                  const NextStep& step) {
  const NextStep::Kind kind = step.kind;
  const Words& words = diagnosis.book->words;
  Standing standing;
  standing.kind = kind;
  standing.exactness = report.exactness;
  standing.which_variant = report.which_variant;
  standing.unexplained = report.unexplained;
  standing.unit_is_out = UnitIsOut(words, diagnosis.c->open);
  const auto lead = std::find_if(report.suspects.begin(), report.suspects.end(),
                                 [](const Suspect& suspect) { return suspect.role != Role::kConsequence; });
  if (lead != report.suspects.end()) standing.lead = *lead;
  for (const Suspect& suspect : report.suspects) {
    const bool is_lead = standing.lead && suspect.event == standing.lead->event;
    if (!is_lead && suspect.chance >= kLikely && !suspect.repair.empty()) standing.besides.push_back(suspect);
  }
  if (!report.where.empty() && (!standing.lead || report.where[0].chance > standing.lead->chance)) {
    standing.where = report.where[0];
  }
  if (!report.exactness.known) return standing;
  if (kind == NextStep::Kind::kUnitOut || kind == NextStep::Kind::kEnough) {
    standing.pull = DecideAt(diagnosis, checks, step, PullWanted::kChanges);
    // What was passed over may still be looked at first.
    if (standing.pull.advice == PullAdvice::kLookFirst &&
        !IsLookWithUnitIn(FindNextStep(diagnosis, checks, {})))
      standing.pull = WithoutLooks(std::move(standing.pull));
    standing.one_of_two = OneOfTwo(diagnosis);
  }
  const bool settled = kind == NextStep::Kind::kSettled;
  std::vector<const WeighedCheck*> that_tell = ChecksThatTell(checks);
  // To take it out and to look at it in the car first are not said in one breath.
  if (standing.pull.advice == PullAdvice::kPull) {
    std::erase_if(that_tell, [&](const WeighedCheck* one) {
      return !NeedsUnitOut(words, checks.ground[one->check].check->access);
    });
  }
  const WeighedCheck* settles = settled ? nullptr : TellsMost(that_tell);
  if (settles != nullptr) standing.settles = DescribeCheck(diagnosis, checks, *settles);
  if (!standing.lead) return standing;
  const std::string& repair = diagnosis.ground.events[At(standing.lead->event)].repair;
  if (!repair.empty()) standing.while_open = WhileOpen(diagnosis, checks, repair, settles, settled);
  return standing;
}

}  // namespace gearwhy
