#include "engine/explain/part_decisions.h"

#include <iterator>
#include <map>
#include <set>

#include "engine/ground/repairs.h"
#include "engine/model/access.h"

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

// Whether `a` holds before `b`, which is earlier in the rulebook.
bool GoesBefore(const PartDecision& a, const PartDecision& b) {
  if (a.basis != b.basis) return a.basis < b.basis;
  return OrderOf(a.verdict) < OrderOf(b.verdict);
}

// What one decision says, each part once.
std::vector<PartDecision> DecideBy(const Decision& decision, const Diagnosis& diagnosis) {
  std::vector<PartDecision> entries;
  std::set<std::string> done;
  for (const Match& match : MatchesOf(decision, diagnosis.store)) {
    PartDecision entry;
    entry.part = ShowValue(Fill({"", {decision.part}, {}}, match.bindings).slots.front());
    if (!done.insert(entry.part).second) continue;
    entry.verdict = decision.verdict;
    entry.basis = decision.basis;
    entry.because = {&decision.because, match.bindings, &decision.variables};
    entry.origin = {Origin::Kind::kDecision, decision.id, {}, decision.place};
    for (const Premise& premise : match.premises) {
      if (premise.kind == Condition::Kind::kStatement) entry.by_case |= FromCase(diagnosis, premise.fact);
    }
    entries.push_back(std::move(entry));
  }
  return entries;
}

}  // namespace

std::vector<Match> MatchesOf(const Decision& decision, const FactStore& store) {
  if (decision.found.empty()) return FindMatches(decision.when, store);
  std::vector<Match> matches;
  for (const Pattern& found : decision.found) {
    std::vector<Condition> when = decision.when;
    Condition& condition = when.emplace_back();
    condition.sense = Sense::kPresent;
    condition.pattern = found;
    condition.place = found.place;
    std::vector<Match> one = FindMatches(when, store);
    std::move(one.begin(), one.end(), std::back_inserter(matches));
  }
  return matches;
}

std::vector<PartDecision> DecideParts(const Diagnosis& diagnosis) {
  std::vector<PartDecision> decisions;
  if (diagnosis.unit == nullptr) return decisions;
  std::map<std::string, PartDecision> of_part;
  for (const Decision& decision : diagnosis.book->decisions) {
    for (PartDecision& entry : DecideBy(decision, diagnosis)) {
      const auto [it, is_first] = of_part.try_emplace(entry.part, entry);
      if (!is_first && GoesBefore(entry, it->second)) it->second = std::move(entry);
    }
  }
  const std::set<std::string> open = OpenAccess(diagnosis.book->words, diagnosis.c->open);
  const PartRepairs repairs(*diagnosis.book, diagnosis.store);
  Diagnostics reported;  // when the network was made
  for (const Part& part : diagnosis.unit->parts) {
    const auto entry = of_part.find(part.id);
    if (entry == of_part.end()) continue;
    const Repair* line = repairs.LineOfPart(part.id, reported);
    entry->second.lies_open = line != nullptr && open.contains(line->access);
    decisions.push_back(std::move(entry->second));
  }
  return decisions;
}

}  // namespace gearwhy
