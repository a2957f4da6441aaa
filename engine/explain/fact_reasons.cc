#include "engine/explain/fact_reasons.h"

#include <fmt/format.h>

namespace gearwhy {

bool FactReasons::IsWalk(FactId fact) const {
  return fact < static_cast<int>(diagnosis_.given.size()) &&
         diagnosis_.given[static_cast<std::size_t>(fact)].origin == FactOrigin::kKind;
}

FactReason FactReasons::Reason(FactId fact) {
  const StoredFact& stored = diagnosis_.store.Get(fact);
  FactReason reason;
  reason.says = speaker_.Say(stored.statement, stored.sense != Sense::kAbsent);
  const Derivation* derivation = diagnosis_.proofs.Find(fact);
  if (derivation == nullptr) {
    const FactSource& given = diagnosis_.given[static_cast<std::size_t>(fact)];
    reason.source = given.origin == FactOrigin::kCalculated
                        ? "calculated from the gearsets and the apply chart"
                        : sources_.Describe(given.place);
    return reason;
  }
  const Rule& rule = *derivation->rule;
  reason.source = fmt::format("{} (rule {})", sources_.Describe(rule.place), rule.id);
  reason.because = speaker_.SayText(rule.because, derivation->bindings, rule.variables);
  if (!shown_.insert(fact).second) {
    reason.shown_before = true;
    return reason;
  }
  std::vector<FactId> premises;
  for (const Premise& premise : derivation->premises) {
    if (premise.kind == Condition::Kind::kStatement) premises.push_back(premise.fact);
  }
  reason.premises = Reasons(premises);
  return reason;
}

std::vector<FactReason> FactReasons::Reasons(const std::vector<FactId>& facts) {
  std::vector<FactReason> reasons;
  std::set<FactId> once;
  for (const FactId fact : facts) {
    if (!IsWalk(fact) && once.insert(fact).second) reasons.push_back(Reason(fact));
  }
  return reasons;
}

}  // namespace gearwhy
