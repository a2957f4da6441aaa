// Transmission: all that hangs on the rulebook, a unit and its variant alone, made once for all cases of it.
//
//   unit, variant -> facts -> what follows from them, with proofs -> network with nothing observed
//
// In: a rulebook and a unit (or none), validated. Out: facts, proofs, rules and network, on which a case is put
// (diagnose.h): it adds its own facts, moves the chances of faults, and reports.
// Cost: chaining and grounding, some 30 ms for a shipped unit; of what a case then costs nearly nothing.
// Errors: a unit that is no transmission; words that do not fit; what grounding finds (ground.h).
// Where nobody has said which variant it is, a case stands on a mixture of them.
// Threads: immutable; any number may use one at once.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/chain/proof.h"
#include "engine/drivetrain/unit_facts.h"
#include "engine/ground/ground.h"
#include "engine/model/rulebook.h"
#include "engine/model/unit.h"

namespace gearwhy {

// Where a fact that no rule derived comes from.
enum class FactOrigin { kKind, kUnit, kCalculated, kCase };
struct FactSource {
  FactOrigin origin = FactOrigin::kKind;
  Place place;
  std::vector<FactId> from = {};  // kCalculated: the facts that it was calculated from
};

// A unit with what its gearsets do, worked out once for all its variants.
struct UnitKnowledge {
  const Unit* unit = nullptr;
  UnitBehaviour behaviour;
};
// Reports what is wrong with the unit as a transmission. The unit must outlive the result.
std::optional<UnitKnowledge> KnowUnit(const Unit& unit, Diagnostics& diagnostics);

struct Transmission {
  const Rulebook* book = nullptr;
  const UnitKnowledge* known = nullptr;  // may be null
  std::string variant;                   // empty: the unit has none, or there is no unit
  std::shared_ptr<const FactStore> facts;
  std::vector<FactSource> given;  // by fact, for those that came before the rules
  std::shared_ptr<const ProofBook> proofs;
  std::shared_ptr<const RuleProgram> rules;  // of the book, compiled for the facts
  GroundNetwork ground;                  // with nothing reported
  AskedRelations asked;

  const Unit* unit() const { return known == nullptr ? nullptr : known->unit; }
};

// What a case stands on: the transmissions that it may be, each with its chance before anything is seen. One
// alone where the variant is known, or there are none; nothing where there was an error.
struct Mixture {
  Mixture() = default;
  Mixture(std::shared_ptr<const Transmission> only) {
    if (only == nullptr) return;
    transmissions.push_back(std::move(only));
    weights.push_back(1);
  }

  std::vector<std::shared_ptr<const Transmission>> transmissions;  // in the order of the unit's variants
  std::vector<double> weights;                                     // one for each; they add up to 1
};
// `find` gives the transmission of a variant, null after reporting why there is none.
using FindTransmission = std::function<std::shared_ptr<const Transmission>(const std::string& variant)>;
// What is known of which one it is; either may be empty: not known.
struct WhichVariants {
  std::string variant;
  std::string version = {};
};
// `unit` may be null. At least one of its variants is so.
Mixture MixtureOf(const Unit* unit, const WhichVariants& which, const FindTransmission& find);

// The case on one transmission: its facts, and what follows from them.
struct CaseFacts {
  std::shared_ptr<const Transmission> transmission;
  FactStore store;
  std::vector<FactSource> given;  // see SourceOf
  ProofBook proofs;
  std::vector<JudgedReading> readings;  // by the limits of this transmission

  // Where a fact that no rule derived comes from; null for a derived one.
  const FactSource* SourceOf(FactId fact) const;
};

// Book and unit must outlive the result. Nothing comes back when there was an error.
std::shared_ptr<const Transmission> MakeTransmission(const Rulebook& book, const UnitKnowledge* known,
                                                     const std::string& variant, Diagnostics& diagnostics);

// Facts as they are given, with where each comes from; those given already are left as they are.
class FactGiver {
 public:
  FactGiver(FactStore& store, std::vector<FactSource>& given) : store_(store), given_(given) {}

  void Give(Sense sense, const Statement& statement, FactOrigin origin, const Place& place);
  // What no case changes: `element: B` for every member of every kind, the facts of the unit (or none), and
  // what its elements carry (capacities.h).
  void GiveTransmission(const Rulebook& book, const UnitKnowledge* known, const std::string& variant,
                        Diagnostics& diagnostics);

 private:
  void GiveKinds(const Words& words, const Unit* unit);
  void GiveOfUnit(const GivenFact& fact);

  FactStore& store_;
  std::vector<FactSource>& given_;
};

// What a reading settles: findings that it is clear of or beyond, and what its measurement calls within and
// as new. Nothing of the unit as it goes together again.
void GiveReading(const Words& words, const JudgedReading& reading, FactGiver& giver);

}  // namespace gearwhy
