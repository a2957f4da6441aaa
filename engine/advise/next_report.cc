#include "engine/advise/next_report.h"

#include <algorithm>

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
  report.verdict =
      MakeCaseVerdict(diagnosis, MakeRankReport(diagnosis, nullptr, diagnosis.limits, options), checks);
  report.pull = report.verdict.pull;
  return report;
}

LookNext FindLookNext(const Diagnosis& diagnosis, int most, const RankReport* ranking) {
  LookNext next;
  if (!ExactnessOf(diagnosis).IsKnown()) return next;
  const CaseChecks checks = WeighCase(diagnosis);
  next.outcome = checks.outcome;
  next.checks = FindNextChecks(diagnosis, checks, most);
  for (const NextCheck& check : next.checks) {
    for (const std::string& caution : check.cautions) {
      if (std::find(next.cautions.begin(), next.cautions.end(), caution) == next.cautions.end())
        next.cautions.push_back(caution);
    }
  }
  if (ranking != nullptr) next.verdict = MakeCaseVerdict(diagnosis, *ranking, checks);
  return next;
}

}  // namespace gearwhy
