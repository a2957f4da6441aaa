// Outcome: is there anything to blame for what was seen, and does it lie with some of the faults?
//
// In: a network with its reports, and which of its faults are marked (those whose repair needs the unit out).
// Out: `marked`, the chance that not all of what was seen present would have been seen, had the marked faults
// not been there; `any`, the same of all faults.
//   share(U) = 1 - P(e+ without U, e-) / P(e+, e-)
// where e+ are the reports of something present, e- those of something absent; "without U" takes the faults U
// away, and what only they have brought about, from what e+ reports, not from what e- reports: what was
// looked for in vain was looked for in the unit as it is. Why not the chance that some marked fault is there:
// background faults make that a quarter where a complaint has been refuted, and damage that a cause has done
// is not what was complained of. Why not P(e+ | e-) with U taken away from both: what is seen good then no
// longer speaks against a cause that would have damaged it by way of U, and the share of faults that are
// likely comes out as 0. The three outcomes add up to 1: nothing to blame (1 - any), only other faults (any -
// marked), marked ones (marked).
// Method: both sides stand in one network (twin.h), which is asked as the network itself is;
// with answers (answers.h) their reports are supposed on the same trees. Of a network with worlds (worlds.h)
// the outcomes are summed by what the reports have made of the worlds: taking faults away does not change
// which it is.
// Cost: three trees for each group of questions (question_trees.h) and world; a pass up of each, or a few, for
// every answer. Where answers take reports back, as many again for the network without
// these. Several threads each take groups; the work is bounded by `answer_work`, as in answers.h.
// Errors: none. Where a tree is too wide, or the reports cannot all be, there is no outcome.
// Source: the probability of necessity of Pearl 2000, Causality, of a set of faults - from memory.
#pragma once

#include <optional>
#include <vector>

#include "engine/belief/answers.h"

namespace gearwhy {

struct Outcome {
  double any = 0;
  double marked = 0;  // at most `any`

  double nothing() const { return 1 - any; }
  double others() const { return any - marked; }
};

// `is_marked`: by event. Whatever work it is.
std::optional<Outcome> ComputeOutcome(const Network& network, const std::vector<char>& is_marked,
                                      const BeliefLimits& limits = {});

// The same after each answer: after the reports of the network and those of the answer. Asked together, all
// are told apart (twin.h) as far as any of them needs it; an answer asked alone is that of ComputeOutcome with
// its reports, and some hundredths from it at most, mostly thousandths, when it is asked beside others.
struct OutcomeAfter {
  double p = 0;                    // of the answer: that of answers.h
  std::optional<Outcome> outcome;  // none where the answer cannot be
};
// By question, then by answer; of a question that is too wide, or beyond the work, no answer.
std::vector<std::vector<OutcomeAfter>> OutcomesAfter(const Network& network,
                                                     const std::vector<char>& is_marked,
                                                     const std::vector<Question>& questions,
                                                     const BeliefLimits& limits = {});

}  // namespace gearwhy
