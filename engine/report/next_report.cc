#include "engine/report/next_report.h"

namespace gearwhy {

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
