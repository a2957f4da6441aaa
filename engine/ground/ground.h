// Ground: the charts and chances whose conditions hold, made into a network about this one transmission.
//
// In: the rulebook, and the complete facts of a transmission. Out: a Network, and beside every event and link of
// it where it came from, so that reasons can be given. A fault exists where a line of `chances` gives it a
// chance, a state or finding where a chart's conditions hold; a cause that does not exist here is left out.
// A case comes onto that network: its facts may move chances (MoveChances), its reports are put to it
// (AddReports).
// Cost: about the number of matches of all conditions; of a case, the factors that its facts may meet, and a
// copy of the network.
// Errors: a fault or a cause that two lines speak of, an `unexplained` stated twice or never, causes that run
// in a circle, a fault whose repair nothing or two lines tell (repairs.h).
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "engine/belief/how_common.h"
#include "engine/belief/network.h"
#include "engine/chain/chain.h"
#include "engine/chain/proof.h"
#include "engine/ground/readings.h"
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
  int world = 0;  // whose facts these are (join_worlds.h)
};

// Parallel to Network::events.
struct GroundEvent {
  Statement statement;
  const Word* word = nullptr;
  const Chance* chance = nullptr;  // faults
  Bindings chance_bindings;
  std::vector<AppliedFactor> factors;  // faults: by the facts of the transmission alone
  std::string repair;                  // faults: the access that mending it needs; empty when not said
  // States and findings: the chart that says how often they are unexplained.
  const Chart* chart = nullptr;
  std::vector<GroundLink> links;
  int world = 0;             // whose facts those of `factors` are (join_worlds.h)
  std::vector<int> only_in;  // the worlds that have it, where not all do
};

// Parallel to Network::reports: an observation of the case, a fact that a rule derived, a reading, or what
// nobody said.
struct GroundReport {
  int observation = -1;              // index into the case's observations
  FactId fact = -1;                  // the observed event as a fact, given or derived; of a reading -1
  const Silence* silence = nullptr;  // where it was left unnamed (silence.h)
  int unnamed = -1;                  // then the event that it is that was left unnamed
  int world = 0;                     // whose fact (join_worlds.h)
  int reading = -1;  // index into the readings of the case, and the limit of it that was judged
  int limit = 0;
  // Of what a rule concludes, or a reading tells: the worlds in which it does, where it does not in all, and
  // those in which it concludes the opposite, because their limits differ.
  std::vector<int> only_in = {}, opposite_in = {};
};

// What no case changes, shared by all cases of one transmission.
struct GroundEvents {
  std::vector<GroundEvent> all;
  std::unordered_map<Statement, int, StatementHash> index;  // by statement; never walked over
};

struct GroundNetwork {
  Network network;
  std::vector<GroundReport> reports;
  std::vector<int> unknown_observations;  // observations of events that nothing in the rulebook explains here

  // By event, as in the network.
  class Events {
   public:
    Events() : shared_(std::make_shared<GroundEvents>()) {}
    explicit Events(GroundEvents events) : shared_(std::make_shared<GroundEvents>(std::move(events))) {}
    // Those of the transmission; behind them, what was left unnamed in the case (silence.h).
    const GroundEvent& operator[](std::size_t event) const {
      return event < shared_->all.size() ? shared_->all[event] : unnamed_[event - shared_->all.size()];
    }
    std::size_t size() const { return shared_->all.size() + unnamed_.size(); }
    // Of the transmission alone.
    auto begin() const { return shared_->all.begin(); }
    auto end() const { return shared_->all.end(); }
    void AddUnnamed(GroundEvent event) { unnamed_.push_back(std::move(event)); }

   private:
    friend struct GroundNetwork;
    std::shared_ptr<const GroundEvents> shared_;
    std::vector<GroundEvent> unnamed_;
  } events;

  std::optional<int> Find(const Statement& statement) const;
  // The factors of a fault, with those that the facts of the case add or take away.
  const std::vector<AppliedFactor>& FactorsOf(int event) const;

  std::map<int, std::vector<AppliedFactor>> moved;  // by fault: its factors, where the case changes them
  // By the transmission alone, without the history of a case; of a mixture, over all that it may be.
  std::shared_ptr<const HowCommon> common;
};

// What has been observed, by the case or by a rule. The store must outlive it.
Reported ReportedIn(const FactStore& store);

// The two chances of an observation of this event (report_chances.h), and what is left of them where another
// contradicts it.
ReportChances WeighReport(const Words& words, const Observation& observation, double p_common,
                          const Reported& reported);
ReportChances Softened(const ReportChances& chances);

// The network with nothing reported. `book` must outlive the result.
std::optional<GroundNetwork> Ground(const Rulebook& book, const FactStore& store, Diagnostics& diagnostics);

// What the conditions of a rulebook ask for: those that say which events and links there are, and those that
// only move the chance of a fault.
struct AskedRelations {
  std::set<Relation> structure, factors;
};
AskedRelations AskedBy(const Rulebook& book);
// Whether a store has added a fact of one of these relations to its base.
bool AddsAny(const FactStore& store, const std::set<Relation>& relations);

// For a network that was made with a case on it: how common its events are by the lasting facts alone.
void TakeHowCommonBy(const FactStore& lasting, GroundNetwork& ground);

// Weighs anew the factors that ask for what the store has added to its base, on which the network stands.
void MoveChances(GroundNetwork& ground, const FactStore& store);

// `observations` have been added to `store` as present or absent, and so has what rules conclude of them.
// `whole`: the network of the mixture that `ground` is one world of, which says how common its events are.
struct CaseReports {
  const FactStore& store;
  const ProofBook& proofs;
  const std::vector<Observation>& observations;
  const std::vector<JudgedReading>& readings;
};
void AddReports(GroundNetwork& ground, const Rulebook& book, const CaseReports& told,
                const GroundNetwork* whole = nullptr);

}  // namespace gearwhy
