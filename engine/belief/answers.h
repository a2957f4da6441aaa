// Answers: what each possible answer of a check would make of the chances.
//
// In: a network with its reports, the chances now, and questions: each asks for one or several findings that
// nobody has reported on.
// Out: for each question its answers with their chances, and what every event's chance would be after each.
// Method. The answer to a question is the first of its findings, in the order given, that is present, or that
// none is. That none of the first i is present is one pass of the tree, for an end out of the tree weighs
// nothing but its causes; "the first i - 1 absent, the ith present" is the difference of two such passes, so
// n findings take n passes and not 2^n. What a check shows besides its first present finding is left out: the
// value of a check of several findings is never overstated. An answer of limited trust mixes these: the
// finding that is there is reported with `p_yes_if_present`, otherwise none is; where none is there, finding
// i is reported with its `p_yes_if_absent`. With one finding this is exactly a report of limited trust. The
// subtraction is of chances p >= q of one sum; an answer rarer than 1e-9 is taken to change nothing.
// Cost: one tree for all questions where that is within the work allowed or parting them would save nothing,
// otherwise one for each group of them; one pass a finding. Several threads each ask a copy of a large tree.
// Errors: none. A question too wide for any tree, or beyond the work that the limits allow, is not worked
// out: its answers change nothing, and it is not `exact`. The first questions come first, but where one of
// them is beyond what is left a later, cheaper one may still be worked out.
// Source: Lauritzen & Spiegelhalter 1988 for the passes - from memory; the first-present order: own
// derivation.
#pragma once

#include <vector>

#include "engine/belief/chances.h"

namespace gearwhy {

struct AskedEvent {
  int event = 0;
  double p_yes_if_present = 1;  // how far the answer is trusted
  double p_yes_if_absent = 0;
};
using Question = std::vector<AskedEvent>;  // at least one; no event twice

// By event, given the reports and perhaps an answer: see Chances.
struct EventChances {
  std::vector<double> p_event;
  std::vector<double> p_by_itself;
};

struct Answer {
  double p = 0;
  EventChances then;  // as now where the answer changes nothing, or where it is not computed
};

struct Answers {
  // One for each finding, "this is the first that is there", then one for "none".
  std::vector<Answer> answers;
  bool exact = true;
};

// `now`: from ComputeChances for this network. When the reports cannot all be, every answer changes nothing.
std::vector<Answers> ComputeAnswers(const Network& network, const EventChances& now,
                                    const std::vector<Question>& questions, const BeliefLimits& limits = {});

// Bits that the answer is expected to tell about each of `events`, taken by itself, summed: mutual
// information. Events whose chance was not computed do not count.
// Source: Shannon 1948 - from memory; checked against Quinlan 1986.
double BitsAbout(const std::vector<int>& events, const EventChances& now, const Answers& answers);

// Entropy of a yes-or-no answer in bits.
double BinaryEntropy(double p);

}  // namespace gearwhy
