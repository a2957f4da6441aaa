// Fact reasons: how a fact is known, down to what was given, each shared proof shown once.
#pragma once

#include <set>
#include <vector>

#include "engine/explain/why_report.h"

namespace gearwhy {

class FactReasons {
 public:
  // All must outlive this.
  FactReasons(const Diagnosis& diagnosis, const Speaker& speaker, const Sources& sources)
      : diagnosis_(diagnosis), speaker_(speaker), sources_(sources) {}

  FactReason Reason(FactId fact);
  // Walks over kinds ("B is one of the unit's elements") say nothing a reader misses and are left out.
  std::vector<FactReason> Reasons(const std::vector<FactId>& facts);

 private:
  bool IsWalk(FactId fact) const;

  const Diagnosis& diagnosis_;
  const Speaker& speaker_;
  const Sources& sources_;
  std::set<FactId> shown_;
};

}  // namespace gearwhy
