#include "engine/advise/case_verdict.h"

#include "engine/advise/next_step.h"

namespace gearwhy {

CaseVerdict MakeCaseVerdict(const Diagnosis& diagnosis, const RankReport& report, const CaseChecks& checks,
                            PullWanted wanted) {
  CaseVerdict verdict;
  verdict.known = report.exactness.known;
  if (!verdict.known) return verdict;
  if (!report.suspects.empty()) verdict.lead = report.suspects[0];
  if (!report.where.empty() && (!verdict.lead || report.where[0].chance > verdict.lead->chance))
    verdict.where = report.where[0];
  NextStep step = FindFirstStep(diagnosis, checks, report);
  const bool is_asked = step.kind == NextStep::Kind::kAsk;
  const bool looks_with_unit_in = is_asked && !step.question.check.needs_unit_out;
  if (is_asked || step.kind == NextStep::Kind::kUnitOut) verdict.next = std::move(step.question.check);
  verdict.pull = step.pull ? std::move(*step.pull) : DecidePull(diagnosis, checks, wanted);
  if (!looks_with_unit_in) verdict.pull = WithoutLooks(std::move(verdict.pull));
  return verdict;
}

}  // namespace gearwhy
