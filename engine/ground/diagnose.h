// Diagnose: one case on its transmission, from facts to chances, in the order it is walked.
//
//   transmission + facts of the case -> what follows from them -> chances moved, reports put -> chances
//
// In: a transmission and a case of it, validated. Out: everything that a report may ask, unrendered.
// Method. The facts of the case stand on those of the transmission, and rules add what follows (chain.h). Where
// they touch none that the network's events and links hang on, the network is the transmission's, with the
// chances that they move; else, and where a rule of the transmission no longer holds, facts and network are
// made from the beginning.
// How far each report moves each chance only reasons ask for, and it costs as much as all the rest: it is
// worked out when it is first asked for.
// Threads: a diagnosis that was made may be asked by several threads, but for influence(), by one at a time.
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

  const Influence& influence() const;
  // Where a fact that no rule derived comes from; null for a derived one.
  const FactSource* SourceOf(FactId fact) const;

 private:
  friend Diagnosis WithChanceOf(Diagnosis diagnosis, int event);
  mutable std::shared_ptr<const Influence> influence_;
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

// The same diagnosis, with the chance of an event that no report bears on worked out as well.
Diagnosis WithChanceOf(Diagnosis diagnosis, int event);

// The chances of these events with nothing observed, but with the history; in their order.
std::vector<double> ChancesBefore(const Diagnosis& diagnosis, const std::vector<int>& events,
                                  const BeliefLimits& limits);

}  // namespace gearwhy
