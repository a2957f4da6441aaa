#include "engine/advise/next_report.h"

#include <algorithm>

#include "engine/model/access.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kWorkOfMoves = 1e7;  // of each check: some tenths of a second

// What the verdict names first, then the others worth making; nothing where that names none.
std::vector<NextCheck> ChecksFor(const Diagnosis& diagnosis, const CaseChecks& checks,
                                 const CaseVerdict& verdict, int most) {
  if (!verdict.next || most < 1) return {};
  std::vector<NextCheck> all = FindNextChecks(diagnosis, checks, most);
  const auto same = std::find_if(all.begin(), all.end(),
                                 [&](const NextCheck& check) { return check.key == verdict.next->key; });
  if (same != all.end())
    std::rotate(all.begin(), same, same + 1);
  else
    all.insert(all.begin(), *verdict.next);
  if (all.size() > At(most)) all.resize(At(most));
  return all;
}

}  // namespace

NextReport MakeNextReport(const Diagnosis& diagnosis, int most) {
  NextReport report;
  report.case_id = diagnosis.c->id;
  report.title = diagnosis.c->title;
  report.exactness = NoteExactness(diagnosis);
  report.can_run = CanRun(diagnosis.book->words, diagnosis.c->open);
  if (!report.exactness.known) return report;
  const CaseChecks checks = WeighCase(diagnosis);
  RankOptions options;
  options.reasons = false;
  const RankReport ranking = MakeRankReport(diagnosis, nullptr, diagnosis.limits, options);
  report.verdict = MakeCaseVerdict(diagnosis, ranking, checks, PullWanted::kChanges);
  report.checks = ChecksFor(diagnosis, checks, report.verdict, most);
  for (NextCheck& check : report.checks) WorkOutMoves(diagnosis, checks, check, kWorkOfMoves);
  if (!report.checks.empty()) report.minutes_to_cause = report.checks.front().minutes_to_cause;
  return report;
}

LookNext FindLookNext(const Diagnosis& diagnosis, const RankReport& ranking, int most) {
  LookNext next;
  if (!ExactnessOf(diagnosis).known) return next;
  const CaseChecks checks = WeighCase(diagnosis);
  next.verdict = MakeCaseVerdict(diagnosis, ranking, checks, PullWanted::kAdvice);
  next.checks = ChecksFor(diagnosis, checks, next.verdict, most);
  next.outcome = next.verdict.pull.outcome;
  for (const NextCheck& check : next.checks) AddNames(check.cautions, next.cautions);
  return next;
}

}  // namespace gearwhy
