// Pull: what the case comes to, and whether the unit must come out, the decision that costs most.
//
// In: a diagnosis with its weighed checks. Out: the chances that nothing is to blame, that the repair leaves
// the unit in, and that it needs it out (belief/outcome.h; they add up to 1); what to do about it; and what
// the checks still possible with the unit in could change.
// Method. For the checks that promise most the outcome is worked out after each of their answers; what a check
// could change is the answer that moves the last chance most, of those that come at least once in twenty
// times. Where the checks are chosen with good looks for certain (next_checks.h), so are these; what is told
// of them is of the network as it is.
// Cost: an outcome (belief/outcome.h), and one for each check: some ten times the chances. Where only the advice
// is wanted, the second is spared unless the advice hangs on it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/advise/next_checks.h"
#include "engine/belief/outcome.h"
#include "engine/model/policy.h"

namespace gearwhy {

// A check with the unit in that bears on whether it must come out.
struct PullChange {
  Phrase check;
  std::string key;
  double minutes = 0;
  // The answer: this finding is present, or absent; none where several were looked for and nothing was found.
  std::optional<Statement> answer;
  bool present = true;
  double chance = 0;  // of this answer
  double then = 0;    // the chance that it must come out, after it
};

enum class PullAdvice {
  kUnknown,    // nothing was reported, or the outcome could not be worked out
  kNothing,    // most likely nothing is to blame
  kLeaveIn,    // the repair most likely does not need it out
  kLookFirst,  // a check with the unit in could still change it
  kOpen,       // it may or may not, and no check with the unit in is worth making
  kPull,       // no check with the unit in is likely to change it
  kIsOut,      // the case says that it is out
};

struct PullDecision {
  std::optional<Outcome> outcome;  // `marked`: the repair needs the unit out
  PullAdvice advice = PullAdvice::kUnknown;
  std::vector<PullChange> changes;  // that move it most first, at most three
  // False: the case is too entangled to say of every check what it could change.
  bool worked_out = true;
};

// Whether the unit stays in while anything else is worth asking: nothing is most likely to blame, or the
// repair of what is broken more likely leaves it in; also where that could not be worked out.
bool MayStayIn(const std::optional<Outcome>& outcome);
// Whether it stays in even then: nothing is most likely to blame, or the repair most likely leaves it in.
bool IsToStayIn(const std::optional<Outcome>& outcome);

// By event: whether it is a fault whose repair needs the unit out.
std::vector<char> NeedUnitOut(const Diagnosis& diagnosis);
// `marked`: a fault whose repair needs the unit out. None where nothing bears on any report, or where the
// case is too wide for exact chances or contradicts itself.
std::optional<Outcome> OutcomeNow(const Diagnosis& diagnosis);

// kAdvice: without `changes`, and the cheaper for it.
enum class PullWanted { kAdvice, kChanges };
// `outcome`: that of OutcomeNow.
PullDecision DecidePull(const Diagnosis& diagnosis, const CaseChecks& checks,
                        const std::optional<Outcome>& outcome, PullWanted wanted = PullWanted::kChanges);
// The same where no check with the unit in is worth making: nothing is to be looked at first.
PullDecision WithoutLooks(PullDecision pull);

}  // namespace gearwhy
