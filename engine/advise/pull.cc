#include "engine/advise/pull.h"

#include <algorithm>
#include <cmath>

#include "engine/model/access.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"
#include "engine/text/for_order.h"

namespace gearwhy {
namespace {

constexpr std::size_t kWorkedOut = 16;
// See BeliefLimits::answer_work. The decision costs most of all: it may take longer than a question.
constexpr double kPullWork = 3e7;

// The checks that can be made with the unit in and promise most, so many of them, those first that have been
// weighed.
std::vector<CheckAtAGlance> WithUnitIn(const Diagnosis& diagnosis, const CaseChecks& checks) {
  const Words& words = diagnosis.book->words;
  std::vector<char> is_weighed(checks.ground.size(), 0);
  for (const WeighedCheck& one : checks.weighed.checks) is_weighed[one.check] = 1;
  std::vector<CheckAtAGlance> in = GlanceAt(words, checks.by.network(diagnosis), *diagnosis.ground.common,
                                            checks.by.now, checks.ground, diagnosis.c->open);
  std::erase_if(in, [&](const CheckAtAGlance& one) {
    return NeedsUnitOut(words, checks.ground[one.check].check->access);
  });
  std::stable_partition(in.begin(), in.end(),
                        [&](const CheckAtAGlance& one) { return is_weighed[one.check] != 0; });
  if (in.size() > kWorkedOut) in.resize(kWorkedOut);
  return in;
}

// By check.
std::vector<Question> QuestionsOf(const Diagnosis& diagnosis, const CaseChecks& checks,
                                  const std::vector<CheckAtAGlance>& in) {
  std::vector<Question> questions;
  for (const CheckAtAGlance& one : in) {
    const GroundCheck& ground = checks.ground[one.check];
    questions.push_back(AnswersTo(ground, one.asked, *diagnosis.book->words.FindTrust(ground.check->trust),
                                  *diagnosis.ground.common));
  }
  return questions;
}

BeliefLimits LimitsOfPull(const Diagnosis& diagnosis) {
  BeliefLimits limits = diagnosis.limits;
  limits.answer_work = std::max(limits.answer_work, kPullWork);
  return limits;
}

// An answer that could change it.
struct Change {
  PullChange told;
  Posed answer;
};

// What is told is what is said once it has been answered: each is worked out by itself.
std::vector<PullChange> Told(const Diagnosis& diagnosis, std::vector<Change> changes) {
  const BeliefLimits limits = LimitsOfPull(diagnosis);
  const std::vector<char> need_unit_out = NeedUnitOut(diagnosis);
  std::vector<PullChange> told;
  for (Change& change : changes) {
    const auto alone = OutcomesAfter(diagnosis.ground.network, need_unit_out, {{change.answer}}, limits);
    if (!alone.front().empty() && alone.front().front().outcome)
      change.told.then = alone.front().front().outcome->marked;
    told.push_back(std::move(change.told));
  }
  return told;
}

// What the check could change, by the answer that moves it most; nothing where no answer moves it.
// `may_change`: set where an answer would carry it over the line between looking first and taking it out.
std::optional<Change> LargestChange(const Diagnosis& diagnosis, const GroundCheck& ground,
                                    const CheckAtAGlance& one, const Question& question,
                                    const std::vector<OutcomeAfter>& after, double now, bool& may_change) {
  const auto moved = [&](std::size_t answer) { return std::abs(after[answer].outcome->marked - now); };
  std::optional<std::size_t> most;
  for (std::size_t a = 0; a < after.size(); ++a) {
    if (after[a].p < kOften || !after[a].outcome) continue;
    may_change |= (now >= kWouldChange) != (after[a].outcome->marked >= kWouldChange);
    if (!most || moved(a) > moved(*most)) most = a;
  }
  if (!most || moved(*most) < kLeastChange) return std::nullopt;
  const bool none = *most == one.asked.size();
  PullChange change = {.check = {&ground.check->says, ground.bindings, &ground.check->variables},
                       .key = ground.key,
                       .minutes = one.minutes,
                       .answer = std::nullopt,
                       .present = !none,
                       .chance = after[*most].p,
                       .then = after[*most].outcome->marked};
  if (!none || one.asked.size() == 1)
    change.answer.emplace(diagnosis.ground.events[At(one.asked[none ? 0 : *most])].statement);
  return Change{std::move(change), question[*most]};
}

// Whatever any check may change; none where it hangs on that.
std::optional<PullAdvice> AdviceAnyhow(const Outcome& outcome) {
  const double out = outcome.marked;
  if (outcome.nothing() >= kNothingFrom) return PullAdvice::kNothing;
  if (out <= kLeaveInUpTo) return PullAdvice::kLeaveIn;
  if (out < kWouldChange) return PullAdvice::kLookFirst;
  if (out >= kAllButCertain) return PullAdvice::kPull;
  return std::nullopt;
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

PullDecision DecidePull(const Diagnosis& diagnosis, const CaseChecks& checks,
                        const std::optional<Outcome>& outcome, PullWanted wanted) {
  PullDecision pull;
  pull.outcome = outcome;
  if (UnitIsOut(diagnosis.book->words, diagnosis.c->open)) {
    pull.advice = PullAdvice::kIsOut;
    return pull;
  }
  if (!pull.outcome || diagnosis.ground.reports.empty()) return pull;
  const double now = pull.outcome->marked;
  const std::optional<PullAdvice> anyhow = AdviceAnyhow(*pull.outcome);
  if (anyhow) pull.advice = *anyhow;
  if (anyhow && wanted == PullWanted::kAdvice) return pull;
  const std::vector<CheckAtAGlance> in = WithUnitIn(diagnosis, checks);
  const std::vector<Question> questions = QuestionsOf(diagnosis, checks, in);
  const std::vector<std::vector<OutcomeAfter>> after =
      OutcomesAfter(checks.by.network(diagnosis), NeedUnitOut(diagnosis), questions, LimitsOfPull(diagnosis));
  bool may_change = false;
  std::vector<Change> changes;
  for (std::size_t i = 0; i < in.size(); ++i) {
    if (after[i].empty() && in[i].bits >= kLeastBits) {
      pull.worked_out = false;
      may_change = true;  // nobody can say that it would not
    }
    auto change =
        LargestChange(diagnosis, checks.ground[in[i].check], in[i], questions[i], after[i], now, may_change);
    if (change) changes.push_back(std::move(*change));
  }
  std::stable_sort(changes.begin(), changes.end(), [&](const Change& a, const Change& b) {
    return ForOrder(std::abs(a.told.then - now)) > ForOrder(std::abs(b.told.then - now));
  });
  if (changes.size() > kMostChanges) changes.erase(changes.begin() + kMostChanges, changes.end());
  if (wanted == PullWanted::kChanges) pull.changes = Told(diagnosis, std::move(changes));
  if (!anyhow) pull.advice = may_change ? PullAdvice::kLookFirst : PullAdvice::kPull;
  return pull;
}

PullDecision WithoutLooks(PullDecision pull) {
  if (pull.advice == PullAdvice::kLookFirst)
    pull.advice = pull.outcome->marked >= kWouldChange ? PullAdvice::kPull : PullAdvice::kOpen;
  return pull;
}

}  // namespace gearwhy
