// Fact reasons: how a fact is known, down to what was given, each shared proof shown once.
//
// In: a diagnosis and facts of its store. Out: a tree a fact; a derived fact lists the facts that it follows
// from, unless it has been shown already.
// Cost: the proofs that are shown.
#pragma once

#include <set>
#include <vector>

#include "engine/explain/origin.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

struct FactReason {
  Statement statement;
  bool present = true;  // false: a report that it is not so
  Origin origin;
  Phrase because;  // of the rule
  std::vector<FactReason> premises;
  bool shown_before = false;  // derived, and shown with its premises already
};

class FactReasons {
 public:
  // The diagnosis must outlive this.
  explicit FactReasons(const Diagnosis& diagnosis) : diagnosis_(diagnosis) {}

  FactReason Reason(FactId fact);
  // Walks over kinds ("B is one of the unit's elements") say nothing a reader misses and are left out.
  std::vector<FactReason> Reasons(const std::vector<FactId>& facts);

 private:
  bool IsWalk(FactId fact) const;

  const Diagnosis& diagnosis_;
  std::set<FactId> shown_;
};

}  // namespace gearwhy
