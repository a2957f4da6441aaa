// Outcome: is there anything to blame for what was seen, and does it lie with some of the faults?
//
// In: a network with its reports, and which of its faults are marked (those whose repair needs the unit out).
// Out: `marked`, the share of what was seen present that would not be there but for a marked fault, given
// what was seen absent; `any`, the same of all faults.
//   share(U) = max(0, 1 - P(e+ | e-, do U = 0) / P(e+ | e-))
// where e+ are the reports of something present, e- those of something absent, and do(U = 0) takes the faults
// U away, with their causes.
// Why not the chance that some marked fault is there: background faults make that a quarter where a complaint
// has been refuted. Why given e-: without it the share goes below 0. The three outcomes add up to 1: nothing
// to blame (1 - any), only other faults (any - marked), marked ones (marked).
// Method: each P is the chance of all reports over that of e- alone, in the network and in one without U;
// with answers (answers.h) their reports are supposed on the same trees. Of a network with worlds (worlds.h)
// the outcomes are summed by what the reports have made of the worlds: taking faults away does not change
// which it is.
// Cost: six trees for each group of questions (question_trees.h) and world, two of them without any fault; a pass up
// of each, or a few, for every answer. Where answers take reports back, as many again for the network without
// these. Several threads each take groups; the work is bounded by `answer_work`, as in answers.h.
// Errors: none. Where a tree is too wide, or the reports cannot all be, there is no outcome.
// Source: own derivation; the probability of necessity of Pearl 2000, Causality, is its model - from memory.
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

// The same after each answer: after the reports of the network and those of the answer.
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
