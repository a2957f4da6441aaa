#include "engine/advise/case_verdict.h"

namespace gearwhy {

CaseVerdict MakeCaseVerdict(const Diagnosis& diagnosis, const RankReport& report, const CaseChecks& checks,
                            const std::vector<NextCheck>& next, PullWanted wanted) {
  CaseVerdict verdict;
  verdict.known = report.exactness.known;
  if (!verdict.known) return verdict;
  if (!report.suspects.empty()) verdict.lead = report.suspects[0];
  if (!report.where.empty() && (!verdict.lead || report.where[0].chance > verdict.lead->chance))
    verdict.where = report.where[0];
  if (!next.empty()) verdict.next = next[0];
  verdict.pull = DecidePull(diagnosis, checks, wanted);
  return verdict;
}

}  // namespace gearwhy
