#include "engine/report/next_report.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace gearwhy {
namespace {

constexpr double kOften = 0.05;          // an answer rarer than this is not counted on
constexpr double kWouldChange = 0.7;     // below this it need not be pulled yet
constexpr double kAllButCertain = 0.95;  // what is left could not save what looking costs
constexpr double kLeastChange = 0.02;
constexpr double kLeastBits = 0.02;  // what tells less could hardly change it
constexpr int kWorkedOut = 16;
constexpr std::size_t kMostChanges = 3;

std::size_t At(int index) { return static_cast<std::size_t>(index); }

// Checks that can be made with the unit in, so many of them worked out: those that have been, and the best of
// the others.
std::vector<WeighedCheck> WithUnitIn(const Diagnosis& diagnosis, const CaseChecks& checks) {
  const Words& words = diagnosis.book->words;
  std::vector<WeighedCheck> in;
  std::vector<GroundCheck> others;
  std::vector<std::size_t> index;  // of the others
  std::vector<char> is_weighed(checks.ground.size(), 0);
  for (const WeighedCheck& one : checks.weighed.checks) {
    is_weighed[one.check] = 1;
    if (!words.NeedsUnitOut(checks.ground[one.check].check->access)) in.push_back(one);
  }
  for (std::size_t c = 0; c < checks.ground.size(); ++c) {
    if (is_weighed[c] || words.NeedsUnitOut(checks.ground[c].check->access)) continue;
    others.push_back(checks.ground[c]);
    index.push_back(c);
  }
  WeighOptions options;
  options.worked_out = std::max(0, kWorkedOut - static_cast<int>(in.size()));
  WeighedChecks weighed = WeighChecks(words, diagnosis.ground.network, ChancesNow(diagnosis), others,
                                      diagnosis.c->open, options, diagnosis.limits);
  for (WeighedCheck& one : weighed.checks) {
    one.check = index[one.check];
    in.push_back(std::move(one));
  }
  return in;
}

}  // namespace

double ChanceUnitOut(const Words& words, const GroundNetwork& ground, const EventChances& chances) {
  const std::vector<double> blame = BlameOf(ground.network, chances.p_by_itself);
  double all = 0;
  double out = 0;
  double likeliest = 0;
  for (std::size_t i = 0; i < blame.size(); ++i) {
    all += blame[i];
    if (!words.NeedsUnitOut(ground.events[i].word->repair)) continue;
    out += blame[i];
    if (chances.p_event[i] > likeliest) likeliest = chances.p_event[i];  // NaN: no report bears on it
  }
  return all > 0 ? std::max(out / all, likeliest) : std::numeric_limits<double>::quiet_NaN();
}

PullDecision DecidePull(const Diagnosis& diagnosis, const CaseChecks& checks) {
  PullDecision pull;
  const Words& words = diagnosis.book->words;
  const double now = ChanceUnitOut(words, diagnosis.ground, ChancesNow(diagnosis));
  if (!std::isnan(now)) pull.chance = now;
  if (UnitIsOut(words, diagnosis.c->open)) {
    pull.advice = PullAdvice::kIsOut;
    return pull;
  }
  if (std::isnan(now) || !diagnosis.chances.possible) return pull;
  const Speaker speaker(words, SpokenNamesOf(diagnosis.unit));
  bool may_change = false;
  for (const WeighedCheck& one : WithUnitIn(diagnosis, checks)) {
    const GroundCheck& ground = checks.ground[one.check];
    PullChange most;
    const std::vector<Answer>& answers = one.answers.answers;
    if (!one.answers.exact && one.bits >= kLeastBits) pull.worked_out = false;
    for (std::size_t a = 0; a < answers.size() && one.answers.exact; ++a) {
      const double then = ChanceUnitOut(words, diagnosis.ground, answers[a].then);
      if (answers[a].p < kOften || std::isnan(then)) continue;
      may_change |= (now >= kWouldChange) != (then >= kWouldChange);
      if (std::abs(then - now) <= std::abs(most.then - now) && !most.check.empty()) continue;
      most.check = speaker.SayText(ground.check->says, ground.bindings, ground.check->variables);
      most.minutes = one.minutes;
      const bool none = a + 1 == answers.size();
      const Statement& event = diagnosis.ground.events[At(one.asked[none ? 0 : a])].statement;
      most.answer = none && one.asked.size() > 1 ? "nothing of it is found" : speaker.Say(event, !none);
      most.chance = answers[a].p;
      most.then = then;
    }
    if (!most.check.empty() && std::abs(most.then - now) >= kLeastChange)
      pull.changes.push_back(std::move(most));
  }
  std::stable_sort(pull.changes.begin(), pull.changes.end(), [&](const PullChange& a, const PullChange& b) {
    return std::abs(a.then - now) > std::abs(b.then - now);
  });
  if (pull.changes.size() > kMostChanges) pull.changes.resize(kMostChanges);
  if (now <= kLeaveInUpTo) {
    pull.advice = PullAdvice::kLeaveIn;
  } else if (now < kAllButCertain && (may_change || now < kWouldChange)) {
    pull.advice = PullAdvice::kLookFirst;
  } else {
    pull.advice = PullAdvice::kPull;
  }
  return pull;
}

NextReport MakeNextReport(const Diagnosis& diagnosis, int most) {
  const CaseChecks checks = WeighCase(diagnosis);
  const Speaker speaker(diagnosis.book->words, SpokenNamesOf(diagnosis.unit));
  NextReport report;
  report.case_id = diagnosis.c->id;
  report.title = diagnosis.c->title;
  report.checks = FindNextChecks(diagnosis, checks, speaker, most);
  if (!report.checks.empty()) report.minutes_to_cause = report.checks.front().minutes_to_cause;
  report.pull = DecidePull(diagnosis, checks);
  report.can_run = CanRun(diagnosis.book->words, diagnosis.c->open);
  report.exact = diagnosis.chances.exact;
  report.error = diagnosis.chances.error;
  return report;
}

}  // namespace gearwhy
