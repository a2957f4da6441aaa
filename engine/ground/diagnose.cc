#include "engine/ground/diagnose.h"

#include <cmath>

#include "engine/drivetrain/speed_facts.h"
#include "engine/ground/silence.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// What the case states, and what follows from it by the unit's gears.
void GiveCase(Diagnosis& diagnosis, FactGiver& giver, Diagnostics& diagnostics) {
  for (const CaseFact& fact : diagnosis.c->facts)
    giver.Give(Sense::kFact, fact.statement, FactOrigin::kCase, fact.place);
  for (const Observation& observation : diagnosis.c->observations) {
    giver.Give(observation.present ? Sense::kPresent : Sense::kAbsent, observation.event, FactOrigin::kCase,
               observation.place);
  }
  if (diagnosis.unit == nullptr) return;
  for (const GivenFact& fact :
       SpeedFacts(*diagnosis.unit, *diagnosis.c, diagnosis.book->words, diagnostics)) {
    giver.Give(Sense::kFact, fact.statement, FactOrigin::kCalculated, fact.place);
  }
}

enum class Way { kDone, kFromTheBeginning, kFailed };

// The facts of the case on those of the transmission, and its network on the transmission's.
Way PutOnTransmission(Diagnosis& diagnosis, Diagnostics& diagnostics) {
  const Transmission& transmission = *diagnosis.transmission;
  const int errors_before = diagnostics.error_count();
  diagnosis.store = FactStore(transmission.facts);
  diagnosis.proofs = ProofBook(transmission.proofs, transmission.facts->size());
  FactGiver giver(diagnosis.store, diagnosis.given);
  GiveCase(diagnosis, giver, diagnostics);
  if (diagnostics.error_count() > errors_before) return Way::kFailed;
  const std::optional<bool> chained =
      ChainOn(transmission.book->rules, diagnosis.store, &diagnosis.proofs, diagnostics);
  if (chained && !*chained) return Way::kFailed;
  if (!chained || AddsAny(diagnosis.store, transmission.asked.structure)) return Way::kFromTheBeginning;
  diagnosis.ground = transmission.ground;
  MoveChances(diagnosis.ground, diagnosis.store);
  return Way::kDone;
}

bool PutFromTheBeginning(Diagnosis& diagnosis, Diagnostics& diagnostics) {
  const Transmission& transmission = *diagnosis.transmission;
  const Rulebook& book = *transmission.book;
  const int errors_before = diagnostics.error_count();
  diagnosis.store = FactStore();
  diagnosis.proofs = ProofBook();
  diagnosis.given.clear();
  FactGiver giver(diagnosis.store, diagnosis.given);
  giver.GiveTransmission(book.words, transmission.known, transmission.variant, diagnostics);
  GiveCase(diagnosis, giver, diagnostics);
  if (diagnostics.error_count() > errors_before ||
      !Chain(book.rules, diagnosis.store, &diagnosis.proofs, diagnostics))
    return false;
  auto ground = Ground(book, diagnosis.store, diagnostics);
  if (!ground) return false;
  diagnosis.ground = std::move(*ground);
  TakeHowCommonBy(*transmission.facts, diagnosis.ground);
  return true;
}

void WorkOutChances(Diagnosis& diagnosis, const BeliefLimits& limits) {
  const Network& network = diagnosis.ground.network;
  BeliefLimits all_faults = limits;  // also those that no report bears on
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    if (network.events[i].type == EventType::kFault) all_faults.also.push_back(static_cast<int>(i));
  }
  diagnosis.chances = ComputeChances(network, all_faults);
  diagnosis.limits = limits;
}

}  // namespace

const FactSource* Diagnosis::SourceOf(FactId fact) const {
  const bool is_own = fact >= store.base_size();
  const std::vector<FactSource>& sources = is_own ? given : transmission->given;
  const auto index = static_cast<std::size_t>(is_own ? fact - store.base_size() : fact);
  return index < sources.size() ? &sources[index] : nullptr;
}

std::optional<Diagnosis> GroundCase(std::shared_ptr<const Transmission> transmission, const Case& c,
                                    Diagnostics& diagnostics) {
  if (transmission == nullptr) return std::nullopt;
  Diagnosis diagnosis;
  diagnosis.book = transmission->book;
  diagnosis.unit = transmission->unit();
  diagnosis.c = &c;
  diagnosis.transmission = std::move(transmission);
  const Way way = PutOnTransmission(diagnosis, diagnostics);
  if (way == Way::kFailed) return std::nullopt;
  if (way == Way::kFromTheBeginning && !PutFromTheBeginning(diagnosis, diagnostics)) return std::nullopt;
  AddReports(diagnosis.ground, diagnosis.book->words, diagnosis.store, diagnosis.proofs, c.observations);
  AddSilence(diagnosis);
  return diagnosis;
}

std::optional<Diagnosis> Diagnose(std::shared_ptr<const Transmission> transmission, const Case& c,
                                  const BeliefLimits& limits, Diagnostics& diagnostics) {
  auto diagnosis = GroundCase(std::move(transmission), c, diagnostics);
  if (diagnosis) WorkOutChances(*diagnosis, limits);
  return diagnosis;
}

Influence InfluenceOf(const Diagnosis& diagnosis) {
  return ComputeInfluence(diagnosis.ground.network, diagnosis.limits);
}

Diagnosis WithChanceOf(Diagnosis diagnosis, int event) {
  if (!std::isnan(diagnosis.chances.p_event[At(event)])) return diagnosis;
  BeliefLimits limits = diagnosis.limits;
  limits.also.push_back(event);
  WorkOutChances(diagnosis, limits);
  return diagnosis;
}

std::optional<Diagnosis> Diagnose(const Rulebook& book, const UnitKnowledge* unit, const Case& c,
                                  const BeliefLimits& limits, Diagnostics& diagnostics) {
  return Diagnose(MakeTransmission(book, unit, c.variant, diagnostics), c, limits, diagnostics);
}

std::vector<double> ChancesBefore(const Diagnosis& diagnosis, const std::vector<int>& events,
                                  const BeliefLimits& limits) {
  Network unobserved = diagnosis.ground.network;
  unobserved.reports.clear();
  BeliefLimits these = limits;
  these.all_events = false;
  these.also = events;
  const Chances chances = ComputeChances(unobserved, these);
  std::vector<double> before;
  for (const int event : events) before.push_back(chances.p_event[At(event)]);
  return before;
}

}  // namespace gearwhy
