// Ground: the charts and chances whose conditions hold, made into a network about this one transmission.
//
// In: the rulebook, the complete facts with their proofs, what was observed. Out: a Network, and beside every
// event, link and report of it where it came from, so that reasons can be given. A fault exists where a line
// of `chances` gives it a chance, a state or finding where a chart's conditions hold; a cause that does not
// exist here is left out.
// Cost: about the number of matches of all conditions; grounding again, when only reports have come or gone,
// that of a walk over the facts.
// Errors: a fault or a cause that two lines speak of, an `unexplained` stated twice or never, causes that run
// in a circle, a fault whose repair nothing or two lines tell (repairs.h).
#pragma once

#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "engine/belief/network.h"
#include "engine/chain/chain.h"
#include "engine/chain/proof.h"
#include "engine/model/case.h"
#include "engine/model/report_chances.h"
#include "engine/model/rulebook.h"

namespace gearwhy {

// A background fact that moved a fault's odds.
struct AppliedFactor {
  const OddsFactor* factor = nullptr;
  std::vector<FactId> facts;
};

// Why a cause counts: the chart's line and the facts that met its conditions. Parallel to Event::causes.
struct GroundLink {
  const Chart* chart = nullptr;
  const CauseLine* line = nullptr;
  Bindings bindings;
  std::vector<FactId> facts;
};

// Parallel to Network::events.
struct GroundEvent {
  Statement statement;
  const Word* word = nullptr;
  const Chance* chance = nullptr;  // faults
  Bindings chance_bindings;
  std::vector<AppliedFactor> factors;  // faults
  std::string repair;                  // faults: the access that mending it needs; empty when not said
  // States and findings: the chart that says how often they are unexplained.
  const Chart* chart = nullptr;
  std::vector<GroundLink> links;
};

// Parallel to Network::reports: an observation of the case, or a fact that a rule derived.
struct GroundReport {
  int observation = -1;  // index into the case's observations
  FactId fact = -1;      // the observed event as a fact, given or derived
};

struct GroundNetwork {
  Network network;
  std::vector<GroundEvent> events;
  std::vector<GroundReport> reports;
  std::vector<int> unknown_observations;  // observations of events that nothing in the rulebook explains here
  std::unordered_map<Statement, int, StatementHash> index;  // event by statement; never walked over

  std::optional<int> Find(const Statement& statement) const;
};

// What has been observed, by the case or by a rule. The store must outlive it.
Reported ReportedIn(const FactStore& store);

// The two chances of an observation (report_chances.h), and what is left of them where another contradicts
// it.
ReportChances WeighReport(const Words& words, const Observation& observation, const Reported& reported);
ReportChances Softened(const ReportChances& chances);

// `book` must outlive the result. `observations` have been added to `store` as present or absent.
std::optional<GroundNetwork> Ground(const Rulebook& book, const FactStore& store, const ProofBook& proofs,
                                    const std::vector<Observation>& observations, Diagnostics& diagnostics);

// Grounds again what was ground with the facts of `before`, for the facts of `store`. When every fact that a
// condition of the charts and chances asks for is in both, in the same order, the events and causes are the
// same: then only the reports are made anew, and the facts called by their new numbers. Otherwise `ground`
// stays as it was, and false comes back. What Ground would give, to the last bit.
bool GroundAgain(GroundNetwork& ground, const Rulebook& book, const FactStore& before, const FactStore& store,
                 const ProofBook& proofs, const std::vector<Observation>& observations);

}  // namespace gearwhy
