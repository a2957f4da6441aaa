// Diagnose: the whole way of one case, from facts to chances, in the order it is walked.
//
//   unit and case facts -> chained facts with proofs -> network -> chances
//
// In: a rulebook, a unit (or none) and a case, all validated. Out: everything that a report may ask,
// unrendered. How far each report moves each chance only reasons ask for, and it costs as much as all the
// rest: it is worked out when it is first asked for. A diagnosis after a few more answers takes over the
// network of the one before, where the answers have left it as it is (ground.h).
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "engine/belief/chances.h"
#include "engine/chain/proof.h"
#include "engine/drivetrain/unit_facts.h"
#include "engine/ground/ground.h"
#include "engine/model/case.h"
#include "engine/model/rulebook.h"
#include "engine/model/unit.h"

namespace gearwhy {

// Where a fact that no rule derived comes from.
enum class FactOrigin { kKind, kUnit, kCalculated, kCase };
struct FactSource {
  FactOrigin origin = FactOrigin::kKind;
  Place place;
};

struct Diagnosis {
  const Rulebook* book = nullptr;
  const Unit* unit = nullptr;  // may be null
  const Case* c = nullptr;
  FactStore store;
  std::vector<FactSource> given;  // by FactId, for the facts that came before the rules
  ProofBook proofs;
  GroundNetwork ground;
  Chances chances;
  BeliefLimits limits;  // that the chances were worked out within

  const Influence& influence() const;

 private:
  mutable std::shared_ptr<const Influence> influence_;
};

// The facts of a unit, worked out once for all cases of it. Reports what is wrong with the unit as a
// transmission.
struct UnitKnowledge {
  const Unit* unit = nullptr;
  UnitBehaviour behaviour;
};
std::optional<UnitKnowledge> KnowUnit(const Unit& unit, Diagnostics& diagnostics);

// Everything referred to must outlive the result. Nothing is returned when there was an error.
std::optional<Diagnosis> Diagnose(const Rulebook& book, const UnitKnowledge* unit, const Case& c,
                                  const BeliefLimits& limits, Diagnostics& diagnostics);

// The same, after a change of the case. `before`, of the same book, is used up.
std::optional<Diagnosis> DiagnoseAfter(Diagnosis&& before, const UnitKnowledge* unit, const Case& c,
                                       Diagnostics& diagnostics);

// The first part of it, for checking a rulebook: the network of a unit with nothing observed.
std::optional<Diagnosis> GroundOnly(const Rulebook& book, const UnitKnowledge* unit, const Case& c,
                                    Diagnostics& diagnostics);

// The chances of these events with nothing observed, but with the history; in their order.
std::vector<double> ChancesBefore(const Diagnosis& diagnosis, const std::vector<int>& events,
                                  const BeliefLimits& limits);

}  // namespace gearwhy
