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
  report.pull = DecidePull(diagnosis, checks);
  return report;
}

}  // namespace gearwhy
