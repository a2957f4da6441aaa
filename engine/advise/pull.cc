#include "engine/advise/pull.h"

#include <algorithm>
#include <cmath>

#include "engine/model/access.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"
#include "engine/text/at_once.h"

namespace gearwhy {
namespace {

constexpr int kWorkedOut = 16;
constexpr double kPullWork = 1e7;  // see BeliefLimits::answer_work

// Checks that can be made with the unit in, so many of them worked out: those that have been, and the best of
// the others.
std::vector<WeighedCheck> WithUnitIn(const Diagnosis& diagnosis, const CaseChecks& checks) {
  const Words& words = diagnosis.book->words;
  std::vector<WeighedCheck> in;
  std::vector<GroundCheck> others;
  std::vector<std::size_t> index;  // of the others
  std::vector<char> is_weighed(checks.ground.size(), 0);
  for (const WeighedCheck& one : checks.weighed.checks) {
    if (!one.answers.exact) continue;
    is_weighed[one.check] = 1;
    if (!NeedsUnitOut(words, checks.ground[one.check].check->access)) in.push_back(one);
  }
  for (std::size_t c = 0; c < checks.ground.size(); ++c) {
    if (is_weighed[c] || NeedsUnitOut(words, checks.ground[c].check->access)) continue;
    others.push_back(checks.ground[c]);
    index.push_back(c);
  }
  WeighOptions options;
  options.worked_out = std::max(0, kWorkedOut - static_cast<int>(in.size()));
  // The decision costs most of all: it may take longer than a question.
  BeliefLimits limits = diagnosis.limits;
  limits.answer_work = std::max(limits.answer_work, kPullWork);
  WeighedChecks weighed = WeighChecks(words, diagnosis.ground.network, *diagnosis.ground.common,
                                      ChancesNow(diagnosis), others, diagnosis.c->open, options, limits);
  for (WeighedCheck& one : weighed.checks) {
    one.check = index[one.check];
    in.push_back(std::move(one));
  }
  return in;
}

// What the check could change, by the answer that moves it most; nothing where no answer moves it.
// `may_change`: set where an answer would carry it over the line between looking first and taking it out.
PullChange LargestChange(const Diagnosis& diagnosis, const GroundCheck& ground, const WeighedCheck& one,
                         const std::vector<std::optional<Outcome>>& outcomes, double now, bool& may_change) {
  std::optional<std::size_t> most;
  for (std::size_t a = 0; a < outcomes.size(); ++a) {
    if (one.answers.answers[a].p < kOften || !outcomes[a]) continue;
    const double then = outcomes[a]->marked;
    may_change |= (now >= kWouldChange) != (then >= kWouldChange);
    if (!most || std::abs(then - now) > std::abs(outcomes[*most]->marked - now)) most = a;
  }
  if (!most || std::abs(outcomes[*most]->marked - now) < kLeastChange) return {};
  const bool none = *most == one.asked.size();
  PullChange change = {.check = {&ground.check->says, ground.bindings, &ground.check->variables},
                       .key = ground.key,
                       .minutes = one.minutes,
                       .answer = std::nullopt,
                       .present = !none,
                       .chance = one.answers.answers[*most].p,
                       .then = outcomes[*most]->marked};
  if (!none || one.asked.size() == 1)
    change.answer.emplace(diagnosis.ground.events[At(one.asked[none ? 0 : *most])].statement);
  return change;
}

PullAdvice AdviceFor(const Outcome& outcome, bool may_change) {
  const double out = outcome.marked;
  if (outcome.nothing() >= kNothingFrom) return PullAdvice::kNothing;
  if (out <= kLeaveInUpTo) return PullAdvice::kLeaveIn;
  if (out < kAllButCertain && (may_change || out < kWouldChange)) return PullAdvice::kLookFirst;
  return PullAdvice::kPull;
}

}  // namespace

bool IsToStayIn(const std::optional<Outcome>& outcome) {
  return !outcome || outcome->nothing() >= kNothingFrom || outcome->marked <= kLeaveInUpTo;
}

bool MayStayIn(const std::optional<Outcome>& outcome) {
  return IsToStayIn(outcome) || outcome->marked < kMayStayIn * outcome->any;
}

std::vector<char> NeedUnitOut(const Diagnosis& diagnosis) {
  std::vector<char> need(diagnosis.ground.events.size(), 0);
  for (std::size_t i = 0; i < need.size(); ++i) {
    need[i] = NeedsUnitOut(diagnosis.book->words, diagnosis.ground.events[i].repair);
  }
  return need;
}

std::optional<Outcome> OutcomeNow(const Diagnosis& diagnosis) {
  if (!diagnosis.chances.exact || !diagnosis.chances.possible) return std::nullopt;
  return ComputeOutcome(diagnosis.ground.network, NeedUnitOut(diagnosis), diagnosis.limits);
}

PullDecision DecidePull(const Diagnosis& diagnosis, const CaseChecks& checks) {
  PullDecision pull;
  const Words& words = diagnosis.book->words;
  pull.outcome = OutcomeNow(diagnosis);
  if (UnitIsOut(words, diagnosis.c->open)) {
    pull.advice = PullAdvice::kIsOut;
    return pull;
  }
  if (!pull.outcome || diagnosis.ground.reports.empty()) return pull;
  const double now = pull.outcome->marked;
  const std::vector<char> need_out = NeedUnitOut(diagnosis);
  const std::vector<WeighedCheck> in = WithUnitIn(diagnosis, checks);
  std::vector<std::vector<std::optional<Outcome>>> outcomes(in.size());
  AtOnce(in.size(), [&](std::size_t i) {
    const Trust& trust = *words.FindTrust(checks.ground[in[i].check].check->trust);
    if (in[i].answers.exact)
      outcomes[i] =
          OutcomesAfter(diagnosis.ground.network, need_out,
                        AnswersTo(checks.ground[in[i].check], in[i].asked, trust, *diagnosis.ground.common),
                        diagnosis.limits);
  });
  bool may_change = false;
  for (std::size_t i = 0; i < in.size(); ++i) {
    if (!in[i].answers.exact && in[i].bits >= kLeastBits) {
      pull.worked_out = false;
      may_change = true;  // nobody can say that it would not
    }
    PullChange change =
        LargestChange(diagnosis, checks.ground[in[i].check], in[i], outcomes[i], now, may_change);
    if (!change.key.empty()) pull.changes.push_back(std::move(change));
  }
  std::stable_sort(pull.changes.begin(), pull.changes.end(), [&](const PullChange& a, const PullChange& b) {
    return std::abs(a.then - now) > std::abs(b.then - now);
  });
  if (pull.changes.size() > kMostChanges) pull.changes.resize(kMostChanges);
  pull.advice = AdviceFor(*pull.outcome, may_change);
  return pull;
}

}  // namespace gearwhy
