#include "engine/advise/next_checks.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <set>
#include <string>

#include "engine/belief/firm_reports.h"
#include "engine/model/access.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"
#include "engine/text/for_order.h"

namespace gearwhy {
namespace {

constexpr double kSoonWeighed = 20'000;  // entries of the tree: more, and weighing the checks takes long

// The suspects that an answer moves most, the most moved first, ties by id.
std::vector<Move> MovesTo(const Diagnosis& diagnosis, const EventChances& then) {
  std::vector<Move> moves;
  const auto& events = diagnosis.ground.network.events;
  for (std::size_t i = 0; i < events.size(); ++i) {
    const double now = diagnosis.chances.p_event[i];
    if (events[i].type != EventType::kFault || !(std::abs(then.p_event[i] - now) >= kLeastMove)) continue;
    moves.push_back({events[i].id, diagnosis.ground.events[i].statement, now, then.p_event[i]});
  }
  std::sort(moves.begin(), moves.end(), [](const Move& a, const Move& b) {
    const double moved_a = ForOrder(std::abs(a.then - a.now));
    const double moved_b = ForOrder(std::abs(b.then - b.now));
    return moved_a != moved_b ? moved_a > moved_b : a.fault < b.fault;
  });
  if (moves.size() > kMostMoves) moves.resize(kMostMoves);
  return moves;
}

void AddChances(const Answers& answers, NextCheck& check) {
  for (std::size_t i = 0; i < check.findings.size(); ++i) check.findings[i].chance = answers.answers[i].p;
  check.chance_none = answers.answers.back().p;
  check.chance_several = answers.rest.p;
}

void AddMoves(const Diagnosis& diagnosis, const Answers& answers, NextCheck& check) {
  for (std::size_t i = 0; i < check.findings.size(); ++i)
    check.findings[i].if_alone = MovesTo(diagnosis, answers.answers[i].then);
  check.if_none = MovesTo(diagnosis, answers.answers.back().then);
}

// Whether the check is the first look of the shortest way, and what it shows is likely.
bool IsLikelyLook(const Diagnosis& diagnosis, const CaseChecks& checks, std::size_t check) {
  if (!checks.weighed.has_look || checks.weighed.first_look != check) return false;
  const auto& network = diagnosis.ground.network;
  for (const int finding : checks.ground[check].findings) {
    for (const Cause& cause : network.events[At(finding)].causes) {
      const bool is_fault = network.events[At(cause.event)].type == EventType::kFault;
      if (is_fault && diagnosis.chances.p_event[At(cause.event)] >= kLikely) return true;
    }
  }
  return false;
}

}  // namespace

NextCheck DescribeCheck(const Diagnosis& diagnosis, const CaseChecks& checks, const WeighedCheck& weighed) {
  const GroundCheck& ground = checks.ground[weighed.check];
  const Words& words = diagnosis.book->words;
  const Check& check = *ground.check;
  NextCheck entry;
  entry.check = check.id;
  entry.key = ground.key;
  entry.says = {&check.says, ground.bindings, &check.variables};
  entry.how = {&check.how, ground.bindings, &check.variables};
  entry.own_minutes = check.minutes;
  entry.minutes = weighed.minutes;
  if (weighed.minutes_to_cause > 0) {
    entry.minutes_to_cause =
        weighed.minutes + kOfPlannedWay * std::max(0.0, weighed.minutes_to_cause - weighed.minutes);
    entry.checks_to_cause = 1 + kOfPlannedWay * std::max(0.0, weighed.checks_to_cause - 1);
  }
  entry.access_name = check.access;
  entry.trust = check.trust;
  entry.bits = weighed.bits;
  entry.needs_unit_out = NeedsUnitOut(words, check.access);
  entry.worked_out = weighed.answers.exact && !checks.by.firm;
  if (!ground.only_in.empty()) entry.only_in = diagnosis.VariantsOf(ground.only_in);
  AddNames(check.cautions, entry.cautions);
  AddNames(CautionsToReach(words, check.access, OpenAccess(words, diagnosis.c->open)), entry.cautions);
  for (const int finding : weighed.asked) {
    const Statement& event = diagnosis.ground.events[At(finding)].statement;
    const bool complained = std::count(ground.complained.begin(), ground.complained.end(), finding) > 0;
    entry.findings.push_back({event, StatementId(event), 0, complained, {}});
  }
  if (weighed.answers.exact) AddChances(weighed.answers, entry);
  if (entry.worked_out) AddMoves(diagnosis, weighed.answers, entry);
  if (ground.all_good >= 0) entry.all_good = diagnosis.ground.events[At(ground.all_good)].statement;
  return entry;
}

EventChances ChancesNow(const Diagnosis& diagnosis) { return EventChancesOf(diagnosis.chances); }

namespace {

// Of each repair, by what it opens, the share of the blame that lies with what it mends.
std::map<std::string, double> ShareOfRepairs(const Diagnosis& diagnosis) {
  const std::vector<double> blame = BlameOf(diagnosis.ground.network, diagnosis.chances.p_by_itself);
  const double whole = std::max(1.0, std::accumulate(blame.begin(), blame.end(), 0.0));
  std::map<std::string, double> share;
  for (std::size_t i = 0; i < blame.size(); ++i) {
    if (blame[i] > 0) share[diagnosis.ground.events[i].repair] += blame[i] / whole;
  }
  return share;
}

// What the repair opens in any case costs a check nothing.
void TellMinutesBesideRepair(const Diagnosis& diagnosis, const std::vector<GroundCheck>& ground,
                             const std::vector<std::string>& open, WeighedChecks& weighed) {
  const Words& words = diagnosis.book->words;
  for (const auto& [repair, share] : ShareOfRepairs(diagnosis)) {
    if (repair.empty()) continue;
    std::vector<std::string> with_repair = open;
    with_repair.push_back(repair);
    const std::set<std::string> opened = OpenAccess(words, with_repair);
    for (WeighedCheck& one : weighed.checks) {
      const Check& check = *ground[one.check].check;
      one.minutes_beside_repair -=
          share * (one.minutes - check.minutes - MinutesToReach(words, check.access, opened));
    }
  }
}

ChosenBy ChooseBy(const Diagnosis& diagnosis) {
  if (diagnosis.chances.entries > kSoonWeighed) {
    Network firm = WithFirm(diagnosis.ground.network, GoodLooks(diagnosis));
    const Chances chances = ComputeChances(firm, diagnosis.limits);
    if (chances.exact && chances.possible) return {std::move(firm), EventChancesOf(chances)};
  }
  return {std::nullopt, ChancesNow(diagnosis)};
}

WeighedChecks Weigh(const Diagnosis& diagnosis, const CaseChecks& checks,
                    const std::vector<std::string>& open, const WeighOptions& options) {
  WeighedChecks weighed =
      WeighChecks(diagnosis.book->words, checks.by.network(diagnosis), *diagnosis.ground.common,
                  checks.by.now, checks.ground, open, options, diagnosis.limits);
  TellMinutesBesideRepair(diagnosis, checks.ground, open, weighed);
  return weighed;
}

}  // namespace

CaseChecks WeighCase(const Diagnosis& diagnosis) {
  CaseChecks checks{GroundChecksOf(diagnosis), ChooseBy(diagnosis), {}};
  checks.weighed = Weigh(diagnosis, checks, diagnosis.c->open, {});
  return checks;
}

CaseChecks WeighOpened(const Diagnosis& diagnosis, const CaseChecks& checks,
                       const std::vector<std::string>& open) {
  WeighOptions options;
  options.known = &checks.weighed;
  return {checks.ground, checks.by, Weigh(diagnosis, checks, open, options)};
}

std::vector<const WeighedCheck*> ChecksThatTell(const CaseChecks& checks) {
  std::vector<const WeighedCheck*> tell;
  for (const WeighedCheck& one : checks.weighed.checks) {
    if (one.bits >= kTellsNothing) tell.push_back(&one);
  }
  return tell;
}

bool WorthAsking(double bits, double minutes) {
  return bits >= kLeastBits && bits >= kLeastBitsPerMinute * std::max(minutes, 1.0);
}

bool CouldChange(const WeighedCheck& one) {
  return WorthAsking(one.bits, one.minutes_beside_repair) &&
         (one.answers.exact ? one.moves >= kLeastMoved : one.bits >= kLeastBitsAtAGlance);
}

bool IsWorthMaking(const Diagnosis& diagnosis, const CaseChecks& checks, const WeighedCheck& one) {
  return CouldChange(one) || IsLikelyLook(diagnosis, checks, one.check);
}

std::vector<NextCheck> FindNextChecks(const Diagnosis& diagnosis, const CaseChecks& checks, int most) {
  std::vector<const WeighedCheck*> best = ChecksThatTell(checks);
  std::erase_if(best, [&](const WeighedCheck* one) { return !IsWorthMaking(diagnosis, checks, *one); });
  if (best.size() > At(most)) best.resize(At(most));
  std::vector<NextCheck> next;
  for (const WeighedCheck* one : best) next.push_back(DescribeCheck(diagnosis, checks, *one));
  return next;
}

void WorkOutMoves(const Diagnosis& diagnosis, const CaseChecks& checks, NextCheck& check, double most_work) {
  if (check.worked_out) return;
  std::vector<int> findings;
  for (const AskedFinding& finding : check.findings) {
    const auto event = diagnosis.ground.Find(finding.event);
    if (!event) return;
    findings.push_back(*event);
  }
  const auto ground = std::find_if(checks.ground.begin(), checks.ground.end(),
                                   [&](const GroundCheck& one) { return one.key == check.key; });
  if (ground == checks.ground.end()) return;
  BeliefLimits limits = diagnosis.limits;
  limits.answer_work = most_work;
  const Answers answers =
      ComputeAnswers(diagnosis.ground.network, ChancesNow(diagnosis),
                     {AnswersTo(*ground, findings, *diagnosis.book->words.FindTrust(check.trust),
                                *diagnosis.ground.common)},
                     limits)
          .front();
  if (!answers.exact) return;
  check.worked_out = true;
  AddChances(answers, check);
  AddMoves(diagnosis, answers, check);
}

}  // namespace gearwhy
