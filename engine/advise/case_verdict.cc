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
  const NextStep step = FindFirstStep(diagnosis, checks, report);
  if (step.kind == NextStep::Kind::kAsk || step.kind == NextStep::Kind::kUnitOut)
    verdict.next = step.question.check;
  verdict.pull = DecideAt(diagnosis, checks, step, wanted);
  if (!IsLookWithUnitIn(step)) verdict.pull = WithoutLooks(std::move(verdict.pull));
  return verdict;
}

}  // namespace gearwhy
