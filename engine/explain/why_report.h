// Why report: the whole reasoning behind one suspect, and why another fault is not suspected.
//
// In: a Diagnosis, whose rulebook must outlive the report, and a fault or state. Out: the chains from what was
// observed to it, what speaks for and against, what it predicts that nobody has looked at, what it came from,
// and the facts and rules each step rests on.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/explain/fact_reasons.h"
#include "engine/explain/rank_report.h"

namespace gearwhy {

// One step of a chain: this cause brings about this effect.
struct ChainStep {
  std::string cause, effect;  // ids
  Statement cause_statement, effect_statement;
  double how_often = 0;
  double chance_effect = 0;  // of the effect, given everything
  Origin origin;             // the line of the chart
  Phrase because;
  std::vector<FactReason> facts;
};

// From the suspect forward to one thing that was reported, by the strongest way; the last step's effect is
// what was reported.
struct ReasonChain {
  EvidenceItem evidence;
  // Empty when the suspect itself was reported, or when no way leads there from it.
  std::vector<ChainStep> steps;
  bool direct = true;  // false: both have a cause in common, or the report rules out a rival
};

struct Prediction {
  std::string event;
  Statement statement;
  double chance_if_so = 0;  // when the suspect is present
  double chance_if_not = 0;
  std::string check;  // the id of a check that answers it; empty when there is none
  Phrase check_says;
};

// What moved the base chance.
struct BaseChance {
  double base = 0;
  double with_history = 0;
  Origin origin;  // the line of `chances`
  Phrase because;
  struct Moved {
    double odds = 1;
    Origin origin;  // the factor
    Phrase because;
    std::vector<FactReason> facts;
  };
  std::vector<Moved> moved;
};

struct WhyReport {
  std::string case_id, title;
  Suspect suspect;
  int rank = 0;                              // among the faults (or places) of this case, 1 is first
  std::optional<BaseChance> base;            // faults
  std::vector<ReasonChain> speaks_for;       // strongest first
  std::vector<EvidenceItem> speaks_against;  // strongest first
  std::vector<ChainStep> brought_about_by;   // known causes of the suspect, likeliest first
  std::vector<Prediction> predicts;          // what would tell most first
  ExactnessNote exactness;
};

struct WhyNotReport {
  enum class Kind {
    kSuspected,      // it is, after all
    kNotHere,        // this transmission cannot have it: no line of `chances` applies
    kNotTouched,     // nothing that was reported bears on it
    kSpokenAgainst,  // reports speak against it
    kOutweighed,     // it would explain something, but other faults explain it better
  };
  std::string case_id, title;
  std::string fault;
  Statement statement;
  Kind kind = Kind::kNotTouched;
  double chance = 0, before = 0;
  int rank = 0;  // 0: it is not in the network
  std::vector<EvidenceItem> speaks_for, speaks_against;
  std::vector<Statement> better;  // kOutweighed: the likeliest faults of those ranked before it, ties by id
  // kNotHere: for each line that could give it a chance, how far it came.
  struct Failed {
    Origin origin;                         // the line of `chances`
    const Condition* condition = nullptr;  // the first that nothing meets
    Bindings bindings;                     // what those before it have bound
    int conditions_met = 0;
  };
  std::vector<Failed> failed;
};
std::string_view WhyNotKindName(WhyNotReport::Kind kind);

// Where the event stands, from 1: among the faults, or among the places of trouble, or among the states that
// are no places. A consequence does not come before a cause. `follows`: of the diagnosis' network.
int RankAmongItsType(const Diagnosis& diagnosis, int event, Follows& follows);

// What the book says for an event, whatever it weighs: where its chance comes from, how it brings about what
// was found, and what brings it about. Costs next to nothing.
struct Reasoning {
  std::optional<BaseChance> base;
  std::vector<ReasonChain> brings_about;
  std::vector<ChainStep> brought_about_by;
};
Reasoning ReasoningFor(const Diagnosis& diagnosis, int event);

// `event` is an index into the network: a fault or a state.
WhyReport MakeWhyReport(const Diagnosis& diagnosis, int event, const BeliefLimits& limits);

// `fault` need not be in the network.
WhyNotReport MakeWhyNotReport(const Diagnosis& diagnosis, const Statement& fault, const BeliefLimits& limits);

}  // namespace gearwhy
