// Fact reasons: how a fact is known, down to what was given, each shared proof shown once.
//
// In: a diagnosis and facts of one of its worlds. Out: a tree a fact; a derived fact lists the facts that it follows
// from, unless it has been shown already.
// Cost: the proofs that are shown.
#pragma once

#include <set>
#include <utility>
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
  bool shown_before = false;  // derived or reckoned, and shown with its premises already
};

class FactReasons {
 public:
  // The diagnosis must outlive this.
  explicit FactReasons(const Diagnosis& diagnosis) : diagnosis_(diagnosis) {}

  // `world`: whose fact it is, an index into the diagnosis' worlds.
  FactReason Reason(int world, FactId fact);
  // Walks over kinds ("B is one of the unit's elements") say nothing a reader misses and are left out.
  std::vector<FactReason> Reasons(int world, const std::vector<FactId>& facts);

 private:
  const CaseFacts& In(int world) const { return diagnosis_.worlds[At(world)]; }
  bool IsWalk(int world, FactId fact) const;

  const Diagnosis& diagnosis_;
  std::set<std::pair<int, FactId>> shown_;  // by world
};

}  // namespace gearwhy
