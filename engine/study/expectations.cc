#include "engine/study/expectations.h"

#include <algorithm>

#include "engine/explain/why_report.h"

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
bool Appears(const WhyReport& why, const std::string& id) {
  if (why.base && why.base->origin.id == id) return true;
  const auto rests = [&](const ReasonChain& chain) {
    const Origin& origin = chain.evidence.origin;
    return (origin.kind == Origin::Kind::kRule && origin.id == id) || Rests(chain.steps, id);
  };
  return std::any_of(why.speaks_for.begin(), why.speaks_for.end(), rests) || Rests(why.brought_about_by, id);
}

void Judge(const Diagnosis& diagnosis, const Expectation& expected, const BeliefLimits& limits,
           std::vector<UnmetExpectation>& unmet) {
  using What = UnmetExpectation::What;
  const std::optional<int> event = diagnosis.ground.Find(expected.event);
  if (!event) {
    if (expected.suspected) unmet.push_back({&expected, What::kNotHere});
    return;
  }
  const WhyReport why = MakeWhyReport(diagnosis, *event, limits);
  const double chance = why.suspect.chance;
  const auto add = [&](What what, const std::string& reason = "") {
    unmet.push_back({&expected, what, chance, why.rank, reason});
  };
  if (!expected.suspected) {
    if (!(chance <= expected.at_most.value_or(kNotSuspected))) add(What::kSuspected);
    return;
  }
  if (why.rank > expected.within) add(What::kRank);
  if (expected.at_least && !(chance >= *expected.at_least)) add(What::kAtLeast);
  if (expected.at_most && !(chance <= *expected.at_most)) add(What::kAtMost);
  for (const std::string& id : expected.rules) {
    if (!Appears(why, id)) add(What::kReason, id);
  }
}

}  // namespace

std::vector<UnmetExpectation> UnmetExpectations(const Diagnosis& diagnosis, const BeliefLimits& limits) {
  std::vector<UnmetExpectation> unmet;
  for (const Expectation& expected : diagnosis.c->expect) Judge(diagnosis, expected, limits, unmet);
  return unmet;
}

}  // namespace gearwhy
