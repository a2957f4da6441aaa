#include "engine/study/decision_conflicts.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <string>
#include <vector>

#include "engine/chain/chain.h"

namespace gearwhy {
namespace {

using Kind = Condition::Kind;

// The conditions that the transmission alone settles: its own facts, and comparisons of what these bind.
std::vector<Condition> SettledOf(const Decision& decision, const FactStore& store) {
  std::vector<Condition> settled;
  std::set<std::string> bound;
  for (const Condition& condition : decision.when) {
    if (condition.kind != Kind::kStatement ||
        store.Named(condition.sense, condition.pattern.name).size() == 0)
      continue;
    settled.push_back(condition);
    for (const Term& term : condition.pattern.terms) {
      if (const auto* variable = std::get_if<Variable>(&term)) bound.insert(variable->name);
    }
  }
  const auto is_bound = [&](const Term& term) {
    const auto* variable = std::get_if<Variable>(&term);
    return variable == nullptr || bound.contains(variable->name);
  };
  for (const Condition& condition : decision.when) {
    if (condition.kind == Kind::kCompare && is_bound(condition.left) && is_bound(condition.right))
      settled.push_back(condition);
  }
  return settled;
}

// The parts that it may speak of.
std::set<std::string> PartsOf(const Decision& decision, const Diagnosis& unobserved) {
  std::set<std::string> parts;
  const auto& name = std::get<Variable>(decision.part).name;
  for (const CaseFacts& world : unobserved.worlds) {
    for (const Match& match : FindMatches(SettledOf(decision, world.store), world.store)) {
      const auto bound = std::find_if(match.bindings.begin(), match.bindings.end(),
                                      [&](const Binding& binding) { return binding.variable == name; });
      if (bound != match.bindings.end()) {
        parts.insert(ShowValue(bound->value));
      } else if (unobserved.unit != nullptr) {  // only the case says of which
        for (const Part& part : unobserved.unit->parts) parts.insert(part.id);
      }
    }
  }
  return parts;
}

// Whether `b` says that nothing is so of which `a` says that it is, of the same part.
bool Denies(const Decision& a, const Condition& says, const Decision& b, const Condition& denies) {
  if (says.kind != Kind::kStatement || denies.kind != Kind::kNot || says.sense != denies.sense ||
      says.pattern.name != denies.pattern.name)
    return false;
  for (std::size_t i = 0; i < says.pattern.terms.size(); ++i) {
    const Term& one = says.pattern.terms[i];
    const Term& other = denies.pattern.terms[i];
    const bool both_part = one == a.part && other == b.part;
    const bool same_value = std::holds_alternative<Value>(one) && one == other;
    if (!std::holds_alternative<Anything>(other) && !both_part && !same_value) return false;
  }
  return true;
}

bool Exclude(const Decision& a, const Decision& b) {
  const auto denies = [](const Decision& one, const Decision& other) {
    return std::any_of(one.when.begin(), one.when.end(), [&](const Condition& says) {
      return std::any_of(other.when.begin(), other.when.end(),
                         [&](const Condition& denied) { return Denies(one, says, other, denied); });
    });
  };
  return denies(a, b) || denies(b, a);
}

}  // namespace

void CheckDecisions(const Diagnosis& unobserved, ReportedPairs& reported, Diagnostics& diagnostics) {
  const std::vector<Decision>& decisions = unobserved.book->decisions;
  std::vector<std::set<std::string>> parts;
  for (const Decision& decision : decisions) parts.push_back(PartsOf(decision, unobserved));
  for (std::size_t b = 1; b < decisions.size(); ++b) {
    for (std::size_t a = 0; a < b; ++a) {
      const Decision& one = decisions[a];
      const Decision& other = decisions[b];
      if (one.basis != other.basis || one.verdict == other.verdict || Exclude(one, other)) continue;
      std::vector<std::string> both;
      std::set_intersection(parts[a].begin(), parts[a].end(), parts[b].begin(), parts[b].end(),
                            std::back_inserter(both));
      if (both.empty() || !reported.emplace(&one, &other).second) continue;
      diagnostics
          .Error(other.place, "decisions-differ",
                 fmt::format(
                     "`{}` and `{}` may both speak of `{}`, both go by `{}`, and do not say the same; say in "
                     "one `not:` what the other says, or let them go by different things",
                     one.id, other.id, both.front(), DecisionBasisName(one.basis)))
          .notes.push_back({one.place, fmt::format("`{}` stands here", one.id)});
    }
  }
}

}  // namespace gearwhy
