// Part decisions: what to replace, what to reuse, what to measure first, by the decisions of the rulebook.
//
// In: a diagnosis. Out: for every part of the unit what the rulebook's `decisions` say of it, in the order of
// the unit, with the reason and where it stands. Several decisions of one part are all given: replacing goes
// before measuring, measuring before reusing.
// Cost: one join a decision.
#pragma once

#include <string>
#include <vector>

#include "engine/explain/origin.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

struct PartDecision {
  std::string part;  // the id
  Verdict verdict = Verdict::kMeasure;
  Phrase because;
  Origin origin;         // the entry of `decisions`
  bool by_case = false;  // something that the case says led to it
};

std::vector<PartDecision> DecideParts(const Diagnosis& diagnosis);

}  // namespace gearwhy
