#include "engine/ground/diagnose.h"

#include <set>

#include "engine/drivetrain/speed_facts.h"
#include "engine/drivetrain/unit_check.h"

namespace gearwhy {
namespace {

void Give(Diagnosis& diagnosis, Sense sense, const Statement& statement, FactOrigin origin,
          const Place& place) {
  if (diagnosis.store.Add(sense, statement).second) diagnosis.given.push_back({origin, place});
}

// `element: B` for every member of every kind.
void GiveKinds(Diagnosis& diagnosis) {
  KindMembers members;
  if (diagnosis.unit != nullptr) members = MembersOf(*diagnosis.unit);
  for (const auto& [name, kind] : diagnosis.book->words.kinds) {
    // The rulebook uses the name for a fact of its own.
    if (!diagnosis.book->words.Find(name)->IsWalk()) continue;
    std::vector<std::string> values = kind.values;
    if (kind.open) values.assign(members[name].begin(), members[name].end());
    for (const std::string& value : values)
      Give(diagnosis, Sense::kFact, {name, {value}}, FactOrigin::kKind, kind.place);
  }
}

void GiveUnit(Diagnosis& diagnosis, const UnitKnowledge& known, Diagnostics& diagnostics) {
  const Words& words = diagnosis.book->words;
  for (const GivenFact& fact :
       UnitFacts(*known.unit, diagnosis.c->variant, known.behaviour, words, diagnostics)) {
    Give(diagnosis, Sense::kFact, fact.statement,
         fact.calculated ? FactOrigin::kCalculated : FactOrigin::kUnit, fact.place);
  }
  for (const GivenFact& fact : SpeedFacts(*known.unit, *diagnosis.c, words, diagnostics)) {
    Give(diagnosis, Sense::kFact, fact.statement, FactOrigin::kCalculated, fact.place);
  }
}

void GiveCase(Diagnosis& diagnosis) {
  for (const CaseFact& fact : diagnosis.c->facts) {
    Give(diagnosis, Sense::kFact, fact.statement, FactOrigin::kCase, fact.place);
  }
  for (const Observation& observation : diagnosis.c->observations) {
    Give(diagnosis, observation.present ? Sense::kPresent : Sense::kAbsent, observation.event,
         FactOrigin::kCase, observation.place);
  }
}

// The case's facts, with all that follows from them.
bool FindFacts(Diagnosis& diagnosis, const UnitKnowledge* unit, Diagnostics& diagnostics) {
  const int errors_before = diagnostics.error_count();
  GiveKinds(diagnosis);
  GiveCase(diagnosis);
  if (unit != nullptr) GiveUnit(diagnosis, *unit, diagnostics);
  return diagnostics.error_count() == errors_before &&
         Chain(diagnosis.book->rules, diagnosis.store, &diagnosis.proofs, diagnostics);
}

// `before` may be null; otherwise its network is taken over where it can be.
std::optional<Diagnosis> GroundAfter(Diagnosis* before, const Rulebook& book, const UnitKnowledge* unit,
                                     const Case& c, Diagnostics& diagnostics) {
  Diagnosis diagnosis;
  diagnosis.book = &book;
  diagnosis.unit = unit == nullptr ? nullptr : unit->unit;
  diagnosis.c = &c;
  if (!FindFacts(diagnosis, unit, diagnostics)) return std::nullopt;
  if (before != nullptr &&
      GroundAgain(before->ground, book, before->store, diagnosis.store, diagnosis.proofs, c.observations)) {
    diagnosis.ground = std::move(before->ground);
    return diagnosis;
  }
  auto ground = Ground(book, diagnosis.store, diagnosis.proofs, c.observations, diagnostics);
  if (!ground) return std::nullopt;
  diagnosis.ground = std::move(*ground);
  return diagnosis;
}

std::optional<Diagnosis> WithChances(std::optional<Diagnosis> diagnosis, const BeliefLimits& limits) {
  if (!diagnosis) return std::nullopt;
  const Network& network = diagnosis->ground.network;
  BeliefLimits all_faults = limits;  // also those that no report bears on
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    if (network.events[i].type == EventType::kFault) all_faults.also.push_back(static_cast<int>(i));
  }
  diagnosis->chances = ComputeChances(network, all_faults);
  diagnosis->limits = limits;
  return diagnosis;
}

}  // namespace

std::optional<UnitKnowledge> KnowUnit(const Unit& unit, Diagnostics& diagnostics) {
  const int errors_before = diagnostics.error_count();
  UnitKnowledge known{&unit, Analyse(unit)};
  CheckUnit(unit, known.behaviour, diagnostics);
  if (diagnostics.error_count() > errors_before) return std::nullopt;
  return known;
}

const Influence& Diagnosis::influence() const {
  if (influence_ == nullptr)
    influence_ = std::make_shared<const Influence>(ComputeInfluence(ground.network, limits));
  return *influence_;
}

std::optional<Diagnosis> GroundOnly(const Rulebook& book, const UnitKnowledge* unit, const Case& c,
                                    Diagnostics& diagnostics) {
  return GroundAfter(nullptr, book, unit, c, diagnostics);
}

std::optional<Diagnosis> Diagnose(const Rulebook& book, const UnitKnowledge* unit, const Case& c,
                                  const BeliefLimits& limits, Diagnostics& diagnostics) {
  return WithChances(GroundOnly(book, unit, c, diagnostics), limits);
}

std::optional<Diagnosis> DiagnoseAfter(Diagnosis&& before, const UnitKnowledge* unit, const Case& c,
                                       Diagnostics& diagnostics) {
  const BeliefLimits limits = before.limits;
  return WithChances(GroundAfter(&before, *before.book, unit, c, diagnostics), limits);
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
  for (const int event : events) before.push_back(chances.p_event[static_cast<std::size_t>(event)]);
  return before;
}

}  // namespace gearwhy
