#include "engine/ground/transmission.h"

#include "engine/drivetrain/unit_check.h"
#include "engine/ground/capacities.h"

namespace gearwhy {

std::optional<UnitKnowledge> KnowUnit(const Unit& unit, Diagnostics& diagnostics) {
  const int errors_before = diagnostics.error_count();
  UnitKnowledge known{&unit, Analyse(unit)};
  CheckUnit(unit, known.behaviour, diagnostics);
  if (diagnostics.error_count() > errors_before) return std::nullopt;
  return known;
}

void FactGiver::Give(Sense sense, const Statement& statement, FactOrigin origin, const Place& place) {
  if (store_.Add(sense, statement).second) given_.push_back({origin, place, {}});
}

void FactGiver::GiveKinds(const Words& words, const Unit* unit) {
  KindMembers members;
  if (unit != nullptr) members = MembersOf(*unit);
  for (const auto& [name, kind] : words.kinds) {
    // The rulebook uses the name for a fact of its own.
    if (!words.Find(name)->IsWalk()) continue;
    // Not all of these are so, but the one that it is (UnitFacts).
    if (name == "variant" || name == "version") continue;
    std::vector<std::string> values = kind.values;
    if (kind.open) {
      values.clear();
      for (const auto& [member, says] : members[name]) values.push_back(member);
    }
    for (const std::string& value : values)
      Give(Sense::kFact, {name, {value}}, FactOrigin::kKind, kind.place);
  }
}

void FactGiver::GiveOfUnit(const GivenFact& fact) {
  if (!store_.Add(Sense::kFact, fact.statement).second) return;
  given_.push_back({fact.calculated ? FactOrigin::kCalculated : FactOrigin::kUnit, fact.place, {}});
  for (const Statement& from : fact.from) {
    if (const auto known = store_.Find(Sense::kFact, from)) given_.back().from.push_back(*known);
  }
}

void FactGiver::GiveTransmission(const Rulebook& book, const UnitKnowledge* known, const std::string& variant,
                                 Diagnostics& diagnostics) {
  GiveKinds(book.words, known == nullptr ? nullptr : known->unit);
  if (known == nullptr) return;
  const Unit& unit = *known->unit;
  for (const GivenFact& fact : UnitFacts(unit, variant, known->behaviour, book.words, diagnostics))
    GiveOfUnit(fact);
  for (const GivenFact& fact : CapacityFacts(book, unit, variant, known->behaviour, store_, diagnostics))
    GiveOfUnit(fact);
}

void GiveReading(const Words& words, const JudgedReading& reading, FactGiver& giver) {
  if (reading.as_built) return;
  for (const AgainstLimit& against : reading.limits) {
    if (!against.finding || against.stand == Stand::kCannotTell) continue;
    giver.Give(against.stand == Stand::kBeyond ? Sense::kPresent : Sense::kAbsent, *against.finding,
               FactOrigin::kCase, reading.place);
  }
  const Word& word = *words.Find(reading.measurement->fact);
  const auto give = [&](const std::optional<Pattern>& fact) {
    if (!fact) return;
    giver.Give(Sense::kFact, *FillBySlots(fact, word, reading.of), FactOrigin::kCase, reading.place);
  };
  if (reading.IsWithin()) give(reading.measurement->within);
  if (reading.is_as_new) give(reading.measurement->as_new);
}

Mixture MixtureOf(const Unit* unit, const WhichVariants& which, const FindTransmission& find) {
  if (unit == nullptr || unit->variants.empty()) return find("");
  const std::vector<double> chances = ChancesOfVariants(*unit);
  std::vector<std::size_t> may_be;
  double whole = 0;
  for (std::size_t v = 0; v < chances.size(); ++v) {
    if (!unit->variants[v].Is(which.variant, which.version)) continue;
    may_be.push_back(v);
    whole += chances[v];
  }
  if (may_be.size() == 1) return find(unit->variants[may_be.front()].name);
  Mixture mixture;
  for (const std::size_t v : may_be) {
    if (chances[v] <= 0) continue;
    mixture.transmissions.push_back(find(unit->variants[v].name));
    mixture.weights.push_back(chances[v] / whole);
    if (mixture.transmissions.back() == nullptr) return {};
  }
  return mixture;
}

const FactSource* CaseFacts::SourceOf(FactId fact) const {
  const bool is_own = fact >= store.base_size();
  const std::vector<FactSource>& sources = is_own ? given : transmission->given;
  const auto index = static_cast<std::size_t>(is_own ? fact - store.base_size() : fact);
  return index < sources.size() ? &sources[index] : nullptr;
}

std::shared_ptr<const Transmission> MakeTransmission(const Rulebook& book, const UnitKnowledge* known,
                                                     const std::string& variant, Diagnostics& diagnostics) {
  const int errors_before = diagnostics.error_count();
  auto made = std::make_shared<Transmission>();
  made->book = &book;
  made->known = known;
  made->variant = variant;
  auto facts = std::make_shared<FactStore>();
  auto proofs = std::make_shared<ProofBook>();
  FactGiver(*facts, made->given).GiveTransmission(book, known, variant, diagnostics);
  if (diagnostics.error_count() > errors_before) return nullptr;
  made->rules = std::make_shared<const RuleProgram>(book.rules, *facts);
  if (made->rules->Run(*facts, proofs.get(), diagnostics) != Chained::kDone) return nullptr;
  auto ground = Ground(book, *facts, diagnostics);
  if (!ground) return nullptr;
  made->ground = std::move(*ground);
  made->facts = std::move(facts);
  made->proofs = std::move(proofs);
  made->asked = AskedBy(book);
  return made;
}

}  // namespace gearwhy
