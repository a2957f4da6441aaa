#include "engine/explain/part_decisions.h"

#include <algorithm>
#include <map>
#include <set>

namespace gearwhy {
namespace {

// Whether a fact was said by the case, or follows from one that was.
bool FromCase(const Diagnosis& diagnosis, FactId fact) {
  std::vector<FactId> open = {fact};
  std::set<FactId> met;
  while (!open.empty()) {
    const FactId one = open.back();
    open.pop_back();
    if (!met.insert(one).second) continue;
    if (const Derivation* derivation = diagnosis.proofs.Find(one)) {
      for (const Premise& premise : derivation->premises) {
        if (premise.kind == Condition::Kind::kStatement) open.push_back(premise.fact);
      }
    } else if (diagnosis.SourceOf(one)->origin == FactOrigin::kCase) {
      return true;
    }
  }
  return false;
}

int OrderOf(Verdict verdict) {
  return verdict == Verdict::kReplace ? 0 : verdict == Verdict::kMeasure ? 1 : 2;
}

}  // namespace

std::vector<PartDecision> DecideParts(const Diagnosis& diagnosis) {
  std::map<std::string, std::vector<PartDecision>> of_part;
  for (const Decision& decision : diagnosis.book->decisions) {
    std::set<std::string> done;  // parts that another match has met
    for (const Match& match : FindMatches(decision.when, diagnosis.store)) {
      const Statement filled = Fill({"", {decision.part}, {}}, match.bindings);
      const std::string part = ShowValue(filled.slots.front());
      if (!done.insert(part).second) continue;
      PartDecision entry{part,
                         decision.verdict,
                         {&decision.because, match.bindings, &decision.variables},
                         {Origin::Kind::kDecision, decision.id, {}, decision.place},
                         false};
      for (const Premise& premise : match.premises) {
        if (premise.kind == Condition::Kind::kStatement) entry.by_case |= FromCase(diagnosis, premise.fact);
      }
      of_part[part].push_back(std::move(entry));
    }
  }
  std::vector<PartDecision> decisions;
  if (diagnosis.unit == nullptr) return decisions;
  for (const Part& part : diagnosis.unit->parts) {
    std::vector<PartDecision>& here = of_part[part.id];
    std::stable_sort(here.begin(), here.end(), [](const PartDecision& a, const PartDecision& b) {
      return OrderOf(a.verdict) < OrderOf(b.verdict);
    });
    std::move(here.begin(), here.end(), std::back_inserter(decisions));
  }
  return decisions;
}

}  // namespace gearwhy
