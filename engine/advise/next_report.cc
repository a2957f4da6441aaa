#include "engine/advise/next_report.h"

#include "engine/model/access.h"

namespace gearwhy {

NextReport MakeNextReport(const Diagnosis& diagnosis, int most) {
  NextReport report;
  report.case_id = diagnosis.c->id;
  report.title = diagnosis.c->title;
  report.exactness = NoteExactness(diagnosis);
  report.can_run = CanRun(diagnosis.book->words, diagnosis.c->open);
  if (!report.exactness.known) return report;
  const CaseChecks checks = WeighCase(diagnosis);
  report.checks = FindNextChecks(diagnosis, checks, most);
  if (!report.checks.empty()) report.minutes_to_cause = report.checks.front().minutes_to_cause;
  RankOptions options;
  options.reasons = false;
  const RankReport ranking = MakeRankReport(diagnosis, nullptr, diagnosis.limits, options);
  report.verdict = MakeCaseVerdict(diagnosis, ranking, checks, report.checks, PullWanted::kChanges);
  return report;
}

LookNext FindLookNext(const Diagnosis& diagnosis, int most, const RankReport* ranking) {
  LookNext next;
  if (!ExactnessOf(diagnosis).known) return next;
  const CaseChecks checks = WeighCase(diagnosis);
  next.checks = FindNextChecks(diagnosis, checks, most);
  for (const NextCheck& check : next.checks) AddNames(check.cautions, next.cautions);
  if (ranking != nullptr)
    next.verdict = MakeCaseVerdict(diagnosis, *ranking, checks, next.checks, PullWanted::kAdvice);
  next.outcome = ranking != nullptr ? next.verdict.pull.outcome : OutcomeNow(diagnosis);
  return next;
}

}  // namespace gearwhy
