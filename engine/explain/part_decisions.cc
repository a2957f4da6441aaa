#include "engine/explain/part_decisions.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <set>

#include "engine/ground/repairs.h"
#include "engine/model/access.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// Whether a fact was said by the case, or follows from one that was.
bool FromCase(const CaseFacts& facts, FactId fact) {
  std::vector<FactId> open = {fact};
  std::set<FactId> met;
  while (!open.empty()) {
    const FactId one = open.back();
    open.pop_back();
    if (!met.insert(one).second) continue;
    if (const Derivation* derivation = facts.proofs.Find(one)) {
      for (const Premise& premise : derivation->premises) {
        if (premise.kind == Condition::Kind::kStatement) open.push_back(premise.fact);
      }
    } else if (facts.SourceOf(one)->origin == FactOrigin::kCase) {
      return true;
    }
  }
  return false;
}

// The values that a phrase speaks of.
std::string WhatIsSaid(const Phrase& phrase) {
  std::string said;
  for (const Binding& binding : phrase.bindings) {
    if (phrase.text->find("{" + binding.variable + "}") != std::string::npos)
      said += ShowValue(binding.value) + "|";
  }
  return said;
}

int OrderOf(Verdict verdict) {
  return verdict == Verdict::kReplace ? 0 : verdict == Verdict::kMeasure ? 1 : 2;
}

// Whether `a` holds before `b`, which is earlier in the rulebook.
bool GoesBefore(const PartDecision& a, const PartDecision& b) {
  if (a.basis != b.basis) return a.basis < b.basis;
  return OrderOf(a.verdict) < OrderOf(b.verdict);
}

// What one decision says of a case on one transmission, each part once.
std::vector<PartDecision> DecideBy(const Decision& decision, const CaseFacts& facts) {
  std::vector<PartDecision> entries;
  std::set<std::string> done;
  for (const Match& match : MatchesOf(decision, facts.store)) {
    PartDecision entry;
    entry.part = ShowValue(Fill({"", {decision.part}, {}}, match.bindings).slots.front());
    if (!done.insert(entry.part).second) continue;
    entry.verdict = decision.verdict;
    entry.basis = decision.basis;
    entry.because = {&decision.because, match.bindings, &decision.variables};
    entry.origin = {Origin::Kind::kDecision, decision.id, {}, decision.place};
    for (const Premise& premise : match.premises) {
      if (premise.kind == Condition::Kind::kStatement) entry.by_case |= FromCase(facts, premise.fact);
    }
    entries.push_back(std::move(entry));
  }
  return entries;
}

// The verdicts on one transmission, by part.
std::map<std::string, PartDecision> DecideOn(const Diagnosis& diagnosis, const CaseFacts& facts) {
  std::map<std::string, PartDecision> of_part;
  for (const Decision& decision : diagnosis.book->decisions) {
    for (PartDecision& entry : DecideBy(decision, facts)) {
      const auto [it, is_first] = of_part.try_emplace(entry.part, entry);
      if (!is_first && GoesBefore(entry, it->second)) it->second = std::move(entry);
    }
  }
  const std::set<std::string> open = OpenAccess(diagnosis.book->words, diagnosis.c->open);
  const PartRepairs repairs(*diagnosis.book, facts.store);
  Diagnostics reported;  // when the network was made
  for (auto& [part, entry] : of_part) {
    const Repair* line = repairs.LineOfPart(part, reported);
    entry.lies_open = line != nullptr && open.contains(line->access);
  }
  return of_part;
}

// How many there are of a part in all of these worlds, where that is one number.
std::optional<int> CountIn(const Diagnosis& diagnosis, const Part& part, const std::vector<int>& worlds) {
  std::optional<int> count;
  for (const int world : worlds) {
    const std::optional<int> here = part.CountIn(diagnosis.worlds[At(world)].transmission->variant);
    if (!here || (count && count != here)) return std::nullopt;
    count = here;
  }
  return count;
}

// Whether both say the same: the same decision, of the same values.
bool SayTheSame(const PartDecision& a, const PartDecision& b) {
  return a.origin.id == b.origin.id && WhatIsSaid(a.because) == WhatIsSaid(b.because);
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
  std::vector<std::map<std::string, PartDecision>> in_world;  // the likeliest first
  for (const int world : diagnosis.likeliest)
    in_world.push_back(DecideOn(diagnosis, diagnosis.worlds[At(world)]));
  for (const Part& part : diagnosis.unit->parts) {
    std::vector<PartDecision> here;
    std::vector<std::vector<int>> holds_in;  // by entry
    for (std::size_t w = 0; w < in_world.size(); ++w) {
      const auto found = in_world[w].find(part.id);
      if (found == in_world[w].end()) continue;
      const auto same = std::find_if(here.begin(), here.end(), [&](const PartDecision& other) {
        return SayTheSame(other, found->second);
      });
      const auto entry = static_cast<std::size_t>(same - here.begin());
      if (same == here.end()) {
        here.push_back(std::move(found->second));
        holds_in.emplace_back();
      } else {
        same->by_case |= found->second.by_case;
        same->lies_open |= found->second.lies_open;
      }
      holds_in[entry].push_back(diagnosis.likeliest[w]);
    }
    for (std::size_t i = 0; i < here.size(); ++i) {
      here[i].only_in = diagnosis.VariantsOf(holds_in[i]);
      here[i].count = CountIn(diagnosis, part, holds_in[i]);
      decisions.push_back(std::move(here[i]));
    }
  }
  return decisions;
}

}  // namespace gearwhy
