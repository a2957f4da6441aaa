#include "engine/report/next_checks.h"

#include <algorithm>
#include <cmath>

#include "engine/report/ground_checks.h"
#include "engine/report/weigh_checks.h"

namespace gearwhy {
namespace {

constexpr double kLeastBits = 1e-3;
constexpr double kLeastMove = 0.005;
constexpr std::size_t kMostMoves = 3;

std::size_t At(int index) { return static_cast<std::size_t>(index); }

// The suspects that an answer moves most, the most moved first, ties by id.
std::vector<Move> MovesTo(const Diagnosis& diagnosis, const Speaker& speaker, const EventChances& then) {
  std::vector<Move> moves;
  const auto& events = diagnosis.ground.network.events;
  for (std::size_t i = 0; i < events.size(); ++i) {
    const double now = diagnosis.chances.p_event[i];
    if (events[i].type != EventType::kFault || !(std::abs(then.p_event[i] - now) >= kLeastMove)) continue;
    moves.push_back({events[i].id, speaker.Say(diagnosis.ground.events[i].statement), now, then.p_event[i]});
  }
  std::sort(moves.begin(), moves.end(), [](const Move& a, const Move& b) {
    const double moved_a = std::abs(a.then - a.now);
    const double moved_b = std::abs(b.then - b.now);
    return moved_a != moved_b ? moved_a > moved_b : a.fault < b.fault;
  });
  if (moves.size() > kMostMoves) moves.resize(kMostMoves);
  return moves;
}

NextCheck Describe(const Diagnosis& diagnosis, const Speaker& speaker, const GroundCheck& ground, const WeighedCheck& weighed) {
  const Words& words = diagnosis.book->words;
  const Check& check = *ground.check;
  NextCheck entry;
  entry.check = check.id;
  entry.key = ground.key;
  entry.says = speaker.SayText(check.says, ground.bindings, check.variables);
  entry.how = speaker.SayText(check.how, ground.bindings, check.variables);
  entry.own_minutes = check.minutes;
  entry.minutes = weighed.minutes;
  entry.minutes_to_cause = weighed.minutes_to_cause;
  entry.access = words.access.at(check.access).says;
  entry.access_name = check.access;
  entry.trust = check.trust;
  entry.bits = weighed.bits;
  entry.needs_unit_out = words.NeedsUnitOut(check.access);
  for (const std::string& caution : check.cautions) entry.cautions.push_back(words.cautions.at(caution).says);

  std::vector<int> findings = weighed.asked;  // most telling first
  for (const int finding : ground.findings) {
    if (std::find(findings.begin(), findings.end(), finding) == findings.end()) findings.push_back(finding);
  }
  const std::vector<Answer>& answers = weighed.answers.answers;
  for (std::size_t i = 0; i < findings.size(); ++i) {
    const Statement& event = diagnosis.ground.events[At(findings[i])].statement;
    AskedFinding asked{event, StatementId(event), speaker.Say(event, true), speaker.Say(event, false), 0, {}, {}};
    if (i < weighed.asked.size() && weighed.answers.exact) {
      asked.chance = answers[i].p;
      asked.if_present = MovesTo(diagnosis, speaker, answers[i].then);
      asked.if_absent = MovesTo(diagnosis, speaker, answers.back().then);
    }
    entry.findings.push_back(std::move(asked));
  }
  return entry;
}

}  // namespace

std::vector<NextCheck> FindNextChecks(const Diagnosis& diagnosis, const Speaker& speaker, const BeliefLimits& limits,
                                      int most) {
  const std::vector<GroundCheck> checks = GroundChecksOf(diagnosis);
  const EventChances now = {diagnosis.chances.p_event, diagnosis.chances.p_by_itself};
  const WeighedChecks weighed =
      WeighChecks(diagnosis.book->words, diagnosis.ground.network, now, checks, diagnosis.c->open, {}, limits);
  std::vector<NextCheck> next;
  for (const WeighedCheck& one : weighed.checks) {
    if (static_cast<int>(next.size()) >= most) break;
    if (one.bits >= kLeastBits) next.push_back(Describe(diagnosis, speaker, checks[one.check], one));
  }
  return next;
}

}  // namespace gearwhy
