// Part decisions: what to replace, what to reuse, what to measure first, by the decisions of the rulebook.
//
// In: a diagnosis. Out: for every part of the unit of which the rulebook's `decisions` say something, one verdict,
// in the order of the unit, with the reason and where it stands.
// Method. Of several decisions of one part the one that goes by harm found on it holds; if there is none, one that
// goes by what it measures; then by what was told; else by its kind. Of several that go by the same the first
// of the rulebook holds; that none of them says otherwise is seen to when the rulebook is checked
// (study/decision_conflicts.h). In a book that was not, replacing goes before measuring, and measuring before
// reusing.
// Where the variant is not known there is one verdict a part for each that it may be, the likeliest first;
// those that say the same are one, and each is said for the variants it holds in.
// Cost: one join a decision, for each variant that it may be.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/chain/chain.h"
#include "engine/explain/origin.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

struct PartDecision {
  std::string part;  // the id
  Verdict verdict = Verdict::kMeasure;
  DecisionBasis basis = DecisionBasis::kKind;
  Phrase because;
  Origin origin;                     // the entry of `decisions`
  bool by_case = false;              // something that the case says led to it
  bool lies_open = false;            // the case is as far open as renewing the part takes
  std::vector<std::string> only_in;  // the variants it is about, where it may be others
  std::optional<int> count;          // of it in those; none where it is not counted, or they differ
};

// All ways in which its conditions hold, and one of what it lists as found was observed.
std::vector<Match> MatchesOf(const Decision& decision, const FactStore& store);

std::vector<PartDecision> DecideParts(const Diagnosis& diagnosis);

}  // namespace gearwhy
