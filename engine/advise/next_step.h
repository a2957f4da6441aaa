// Next step: what to ask next at the car, what an answer says, and where it has come to.
//
// In: the diagnosis of the case as it stands, its weighed checks, and what this session has passed over. Out:
// the next question, or why there is none. An answer becomes changes of the case (files/edit_case.h), which
// the caller makes, diagnoses again, and compares (MovedSuspects).
// Method: the weighed checks come with the shortest way to the cause first, given what is open; only the one
// that is chosen is described. Questions that were passed over are left out. Taking the unit out is the one
// step that costs a day and is not undone: it is never assumed. When the best check needs it, and no glance
// with the unit in tells anything first or could still keep it in, the step is kUnitOut, for the user to
// decide; with `keep_unit_in`,
// or while the repair may well leave the unit in (MayStayIn), the other checks go on as long as they are
// worth asking; where it most likely does, or nothing is to blame (IsToStayIn), or it is open, that is all.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "engine/advise/next_report.h"
#include "engine/files/edit_case.h"
#include "engine/model/policy.h"

namespace gearwhy {

// Numbers to be measured: a fact whose quantities are still 0.
struct NumberWanted {
  Statement fact;
  std::vector<int> quantities;  // indices of the slots asked for
};

struct NextQuestion {
  NextCheck check;
  std::vector<NumberWanted>
      measures;  // asked for before the findings; what the numbers tell, rules of the book say
  // Where the vehicle runs for it: the circumstances, by name, under which the trouble is known to come. It
  // is to be tried under these, and the answer counts as found under them unless it says otherwise.
  std::vector<std::string> under = {};
  std::string how_under = "";  // that, in sentences
};

// What the session remembers beside the case.
struct InterviewState {
  std::set<std::string> passed;    // keys of questions that are not wanted now
  std::set<std::string> measured;  // keys of checks whose numbers were asked for already
  std::string going_on;       // the key of a check that is being made, when more may be asked of it at once
  bool keep_unit_in = false;  // the user does not want it taken out yet
  bool ask_anything = false;  // the user goes on, though nothing is worth its time
  bool measuring = false;     // on the bench: what lies open is measured before anything else is asked
  std::set<std::string> unmeasured;  // what was to be measured there and was passed over: facts, as ids
};

struct NextStep {
  enum class Kind {
    kAsk,
    kUnitOut,  // what is worth asking now needs the unit out, and it is in
    kSettled,  // the leading fault was seen directly, and all complaints are explained
    kEnough,   // no check is worth its time
  };
  Kind kind = Kind::kEnough;
  NextQuestion question;                  // kAsk, kUnitOut
  std::optional<PullDecision> pull = {};  // where it was worked out on the way
};

NextStep FindNextStep(const Diagnosis& diagnosis, const CaseChecks& checks, const InterviewState& state);
// The step of an interview in which nothing has been asked yet: kSettled, too.
NextStep FindFirstStep(const Diagnosis& diagnosis, const CaseChecks& checks, const RankReport& report);
// The decision that the step was found by, or else worked out.
PullDecision DecideAt(const Diagnosis& diagnosis, const CaseChecks& checks, const NextStep& step,
                      PullWanted wanted);
// Whether it is a look with the unit in.
bool IsLookWithUnitIn(const NextStep& step);

// Whether the likeliest root has been seen, no other root is likely that nobody has seen, and every complaint
// would end with what is broken (belief/after_repair.h). Seen: somebody has reported it, or a finding that is
// a sight of it (confirm.h), by a trust with `direct`.
bool SeenDirectly(const Diagnosis& diagnosis, const RankReport& report);

// What was answered to the findings of a question: indices into them. Those named in neither list were looked
// at and are not so.
struct QuestionAnswer {
  std::vector<int> present;
  std::vector<int> unknown;
  std::vector<std::string> under = {};  // circumstances that were named with it
};
// The changes of the case: an observation each, and an `open` when the access of the question was not open
// yet. Where none is so, one report may say it of all (NextCheck::all_good); what nobody can tell beside an
// answer is left out (needs.h).
std::vector<CaseChange> ChangesOf(const Diagnosis& diagnosis, const NextQuestion& question,
                                  const QuestionAnswer& answer);
// The access to note as open, if it is not: the answer shows that somebody was there.
std::optional<CaseChange> OpenedBy(const Diagnosis& diagnosis, const std::string& access);

// How a fault's chance went from one diagnosis to the next.
struct MovedSuspect {
  std::string fault;
  Statement statement;
  double before = 0, after = 0;
};
// What is kept of a diagnosis to be compared with a later one: its faults, likeliest first, ties by id.
struct FaultChance {
  std::string fault;  // the id
  Statement statement;
  double chance = 0;
};
using FaultChances = std::vector<FaultChance>;
FaultChances FaultChancesOf(const Diagnosis& diagnosis);

// The first three suspects as they are now, and one of the first three before that has fallen out of them;
// only those that moved by half a hundredth or more, at most four.
std::vector<MovedSuspect> MovedSuspects(const FaultChances& before, const Diagnosis& after);

// Where the interview has come to.
struct Standing {
  NextStep::Kind kind = NextStep::Kind::kEnough;
  ExactnessNote exactness;
  WhichVariant which_variant;
  std::optional<Suspect> lead;      // the likeliest root
  std::optional<WherePlace> where;  // the likeliest place, when it is likelier than the lead
  // kUnitOut, kEnough: the two accounts of one place each (explain/place_accounts.h) by which it is most
  // likely either of the two (kOneOfTwo); empty where it is not so.
  std::vector<PlaceAccount> one_of_two;
  std::optional<NextCheck> settles;  // unless settled: the check that would tell most, whatever it takes
  bool unit_is_out = false;
  // Damaged most likely, too, by what leads or something else, where that needs a repair of its own.
  std::vector<Suspect> besides;
  // Checks that take no more access than the lead's repair does anyway, and tell something about other
  // suspects. What is open already counts only once it is settled: before that it could have been asked.
  std::vector<NextCheck> while_open;
  std::vector<Unexplained> unexplained;
  PullDecision pull;  // kUnitOut, kEnough
};
// `step`: that it has come to.
Standing Conclude(const Diagnosis& diagnosis, const CaseChecks& checks, const RankReport& report,
                  const NextStep& step);

}  // namespace gearwhy
