#include "engine/explain/fact_reasons.h"

namespace gearwhy {
namespace {

Origin OriginOf(const FactSource& given) {
  switch (given.origin) {
    case FactOrigin::kKind:
      return {Origin::Kind::kKind, "", {}, given.place};
    case FactOrigin::kUnit:
      return {Origin::Kind::kUnit, "", {}, given.place};
    case FactOrigin::kCalculated:
      return {given.from.empty() ? Origin::Kind::kCalculated : Origin::Kind::kReckoned, "", {}, given.place};
    case FactOrigin::kCase:
      break;
  }
  return {Origin::Kind::kCase, "", {}, given.place};
}

}  // namespace

bool FactReasons::IsWalk(int world, FactId fact) const {
  const FactSource* source = In(world).SourceOf(fact);
  return source != nullptr && source->origin == FactOrigin::kKind;
}

FactReason FactReasons::Reason(int world, FactId fact) {
  const StoredFact stored = In(world).store.Get(fact);
  FactReason reason;
  reason.statement = stored.statement;
  reason.present = stored.sense != Sense::kAbsent;
  const Derivation* derivation = In(world).proofs.Find(fact);
  if (derivation == nullptr) {
    const FactSource& source = *In(world).SourceOf(fact);
    reason.origin = OriginOf(source);
    if (source.from.empty()) return reason;
    if (shown_.insert({world, fact}).second)
      reason.premises = Reasons(world, source.from);
    else
      reason.shown_before = true;
    return reason;
  }
  const Rule& rule = *derivation->rule;
  reason.origin = {Origin::Kind::kRule, rule.id, {}, rule.place};
  reason.because = {&rule.because, derivation->bindings, &rule.variables};
  if (!shown_.insert({world, fact}).second) {
    reason.shown_before = true;
    return reason;
  }
  std::vector<FactId> premises;
  for (const Premise& premise : derivation->premises) {
    if (premise.kind == Condition::Kind::kStatement) premises.push_back(premise.fact);
  }
  reason.premises = Reasons(world, premises);
  return reason;
}

std::vector<FactReason> FactReasons::Reasons(int world, const std::vector<FactId>& facts) {
  std::vector<FactReason> reasons;
  std::set<FactId> once;
  for (const FactId fact : facts) {
    if (!IsWalk(world, fact) && once.insert(fact).second) reasons.push_back(Reason(world, fact));
  }
  return reasons;
}

}  // namespace gearwhy
