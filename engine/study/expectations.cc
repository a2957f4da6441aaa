#include "engine/study/expectations.h"

#include <algorithm>

#include "engine/explain/why_report.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// Whether an entry of the rulebook appears in how a fact is known.
bool Rests(const std::vector<FactReason>& facts, const std::string& id) {
  return std::any_of(facts.begin(), facts.end(), [&](const FactReason& fact) {
    return (fact.origin.kind == Origin::Kind::kRule && fact.origin.id == id) || Rests(fact.premises, id);
  });
}

bool Rests(const std::vector<ChainStep>& steps, const std::string& id) {
  return std::any_of(steps.begin(), steps.end(),
                     [&](const ChainStep& step) { return step.origin.id == id || Rests(step.facts, id); });
}

// Whether it appears anywhere in the reasoning behind a suspect.
bool Appears(const Reasoning& why, const std::string& id) {
  if (why.base && why.base->origin.id == id) return true;
  const auto rests = [&](const ReasonChain& chain) {
    const Origin& origin = chain.evidence.origin;
    return (origin.kind == Origin::Kind::kRule && origin.id == id) || Rests(chain.steps, id);
  };
  return std::any_of(why.brings_about.begin(), why.brings_about.end(), rests) ||
         Rests(why.brought_about_by, id);
}

void Judge(const Diagnosis& diagnosis, const Expectation& expected, Follows& follows,
           std::vector<UnmetExpectation>& unmet) {
  using What = UnmetExpectation::What;
  const std::optional<int> event = diagnosis.ground.Find(expected.event);
  if (!event) {
    if (expected.suspected) unmet.push_back({&expected, What::kNotHere});
    return;
  }
  const double chance = diagnosis.chances.p_event[At(*event)];
  const int rank = RankAmongItsType(diagnosis, *event, follows);
  const auto add = [&](What what, const std::string& reason = "") {
    unmet.push_back({&expected, what, chance, rank, reason});
  };
  if (!expected.suspected) {
    if (!(chance <= expected.at_most.value_or(kNotSuspected))) add(What::kSuspected);
    return;
  }
  if (rank > expected.within) add(What::kRank);
  if (expected.at_least && !(chance >= *expected.at_least)) add(What::kAtLeast);
  if (expected.at_most && !(chance <= *expected.at_most)) add(What::kAtMost);
  if (expected.rules.empty()) return;
  Reasoning why = ReasoningFor(diagnosis, *event);
  bool is_whole = false;
  for (const std::string& id : expected.rules) {
    if (Appears(why, id)) continue;
    if (!is_whole) {  // what speaks for it by clearing its rivals, too
      const WhyReport report = MakeWhyReport(diagnosis, *event, diagnosis.limits);
      why.brings_about.insert(why.brings_about.end(), report.speaks_for.begin(), report.speaks_for.end());
      is_whole = true;
    }
    if (!Appears(why, id)) add(What::kReason, id);
  }
}

}  // namespace

std::vector<UnmetExpectation> UnmetExpectations(const Diagnosis& diagnosis) {
  std::vector<UnmetExpectation> unmet;
  Follows follows(diagnosis.ground.network);
  for (const Expectation& expected : diagnosis.c->expect) Judge(diagnosis, expected, follows, unmet);
  return unmet;
}

}  // namespace gearwhy
