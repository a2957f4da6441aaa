// Weigh checks: what each check would tell for the minutes it costs, and how soon the cause would be seen
// after it.
//
// In: the network with its reports, the chances now, ground checks, what is open. Out: the checks worth
// working out, best first.
// Method. At a glance every check is judged as if its findings' causes were independent: the bits that the
// answer tells about each uncertain cause, for each minute, access included. The best of these, and the first
// look of the shortest way to see the cause (confirm.h), are worked out exactly (answers.h): one pass of the
// network an answer. The answers are those of the whole check: one of its findings alone, or none of them;
// what is left, several at once, is weighed as one. For every answer the minutes that are still expected
// then, until the cause is seen, are planned; a check is worth its time as far as it shortens that. Of those
// that lead there equally soon (kEquallySoon) the handiest that move enough come first. While
// nothing that can be seen is to blame, the order is most bits for a minute.
// Cost: see answers.h; some 40 passes and as many plans. In a network so wide that this would take too long,
// the checks that promise less are not worked out, and the first look comes first.
// Source: Heckerman, Breese & Rommelse 1995 (decision-theoretic troubleshooting, one-step look-ahead) - from
// memory.
#pragma once

#include <string>
#include <vector>

#include "engine/advise/confirm.h"
#include "engine/belief/answers.h"
#include "engine/belief/how_common.h"
#include "engine/ground/ground_checks.h"

namespace gearwhy {

struct WeighedChecks;

struct WeighOptions {
  int worked_out = 8;  // checks
  // Of the same checks, reports and chances: answers that need not be worked out again.
  const WeighedChecks* known = nullptr;
};

struct WeighedCheck {
  std::size_t check = 0;   // index into the ground checks
  std::vector<int> asked;  // its findings, most promising first
  Answers answers;         // one for each of them, that it is so and no other is; then "none"
  double minutes = 0;      // with the access still to be paid
  // About all faults, each taken by itself; at a glance where `answers` is not exact.
  double bits = 0;
  // Which share of the blame is expected to lie elsewhere after its answer; 0 where `answers` is not exact.
  double moves = 0;
  // Expected, of these minutes: those that the repair of what is to blame does not take in any case, as it
  // opens the same (next_checks.h).
  double minutes_beside_repair = 0;
  double minutes_to_cause = 0;  // with this check first, expected
  double checks_to_cause = 0;   // the same, itself among them
};

struct WeighedChecks {
  std::vector<WeighedCheck> checks;  // best first
  double minutes_to_cause = 0;       // by looks alone, without any further check
  bool has_look = false;
  std::size_t first_look = 0;  // of that way: index into the ground checks
};

// Bits that the answer to a finding tells about its causes, each taken by itself, as if they were
// independent. Cheap.
double BitsAtAGlance(const Network& network, const EventChances& now, int finding, const Trust& trust,
                     const HowCommon& common);

// A check as it looks at a glance.
struct CheckAtAGlance {
  std::size_t check = 0;   // index into the ground checks
  std::vector<int> asked;  // its findings, most promising first
  double minutes = 0;      // with the access still to be paid
  double bits = 0;

  double rate() const;  // bits for a minute
};
// All of them, most bits for a minute first. Cheap.
std::vector<CheckAtAGlance> GlanceAt(const Words& words, const Network& network, const HowCommon& common,
                                     const EventChances& now, const std::vector<GroundCheck>& checks,
                                     const std::vector<std::string>& open);

// The answers to a check that are worked out, and what is written down with each: every finding alone, then
// none of them. `findings`: those of the check, in the order of the answers.
Question AnswersTo(const GroundCheck& check, const std::vector<int>& findings, const Trust& trust,
                   const HowCommon& common);

// `common`: of the events of the network.
WeighedChecks WeighChecks(const Words& words, const Network& network, const HowCommon& common,
                          const EventChances& now, const std::vector<GroundCheck>& checks,
                          const std::vector<std::string>& open, const WeighOptions& options = {},
                          const BeliefLimits& limits = {});

}  // namespace gearwhy
