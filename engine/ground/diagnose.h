// Diagnose: one case on its transmission, from facts to chances, in the order it is walked.
//
//   transmission + facts of the case -> what follows from them -> chances moved, reports put -> chances
//
// In: a transmission and a case of it, validated. Out: everything that a report may ask, unrendered.
// Method. The facts of the case stand on those of the transmission, and rules add what follows (chain.h). Where
// they touch none that the network's events and links hang on, the network is the transmission's, with the
// chances that they move; else, and where a rule of the transmission no longer holds, facts and network are
// made from the beginning.
// Threads: a diagnosis that was made is not changed any more; any number may ask it at once.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "engine/belief/chances.h"
#include "engine/ground/transmission.h"
#include "engine/model/case.h"

namespace gearwhy {

struct Diagnosis {
  std::shared_ptr<const Transmission> transmission;
  const Rulebook* book = nullptr;
  const Unit* unit = nullptr;  // may be null
  const Case* c = nullptr;
  FactStore store;
  std::vector<FactSource> given;  // see SourceOf
  ProofBook proofs;
  GroundNetwork ground;
  Chances chances;
  BeliefLimits limits;  // that the chances were worked out within

  // Where a fact that no rule derived comes from; null for a derived one.
  const FactSource* SourceOf(FactId fact) const;
};

// `c` must outlive the result, and so must the book and the unit. Nothing is returned when there was an
// error.
std::optional<Diagnosis> Diagnose(std::shared_ptr<const Transmission> transmission, const Case& c,
                                  const BeliefLimits& limits, Diagnostics& diagnostics);

// The first part of it: the case's network, without chances.
std::optional<Diagnosis> GroundCase(std::shared_ptr<const Transmission> transmission, const Case& c,
                                    Diagnostics& diagnostics);

// With a transmission that is made for this case alone.
std::optional<Diagnosis> Diagnose(const Rulebook& book, const UnitKnowledge* unit, const Case& c,
                                  const BeliefLimits& limits, Diagnostics& diagnostics);

// How far each report moves each chance. Only reasons ask for it; it costs as much as all the rest.
Influence InfluenceOf(const Diagnosis& diagnosis);

// The same diagnosis, with the chance of an event that no report bears on worked out as well.
Diagnosis WithChanceOf(Diagnosis diagnosis, int event);

// The chances of these events with nothing observed, but with the history; in their order.
std::vector<double> ChancesBefore(const Diagnosis& diagnosis, const std::vector<int>& events,
                                  const BeliefLimits& limits);

}  // namespace gearwhy
