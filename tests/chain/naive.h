// A naive evaluator: the meaning of rules written as plainly as possible, the oracle for the chain.
//
// A model is a set of facts. A rule's matches are found by trying every fact for every statement of its
// `when` in turn, and only then looking at the comparisons and `not`s. Strata are numbered conclusion by
// conclusion; the facts of a stratum are found by running all its conclusions over the whole model until
// nothing is added. No index, no ordering, no incremental evaluation, and no code of engine/chain.
#pragma once

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "engine/model/statement.h"

namespace gearwhy::test {

using Atom = std::pair<Sense, Statement>;
using Model = std::set<Atom>;
using Assignment = std::map<std::string, Value>;

struct NaiveMatch {
  Assignment assignment;
  std::vector<std::optional<Atom>> premises;  // by condition; nothing for comparisons and `not`
  friend bool operator<(const NaiveMatch& a, const NaiveMatch& b) {
    return std::tie(a.assignment, a.premises) < std::tie(b.assignment, b.premises);
  }
  friend bool operator==(const NaiveMatch&, const NaiveMatch&) = default;
};

// Extends the assignment so that the pattern is the statement; false when it cannot be.
inline bool NaiveUnify(const Pattern& pattern, const Statement& statement, Assignment& assignment) {
  if (pattern.name != statement.name || pattern.terms.size() != statement.slots.size()) return false;
  for (std::size_t i = 0; i < pattern.terms.size(); ++i) {
    const Value& slot = statement.slots[i];
    if (const auto* value = std::get_if<Value>(&pattern.terms[i]); value != nullptr && *value != slot)
      return false;
    if (const auto* variable = std::get_if<Variable>(&pattern.terms[i])) {
      if (assignment.emplace(variable->name, slot).first->second != slot) return false;
    }
  }
  return true;
}

inline Value NaiveValue(const Term& term, const Assignment& assignment) {
  if (const auto* variable = std::get_if<Variable>(&term)) return assignment.at(variable->name);
  return std::get<Value>(term);
}

inline bool NaiveCompare(const Value& left, Comparison comparison, const Value& right) {
  const auto* a = std::get_if<double>(&left);
  const auto* b = std::get_if<double>(&right);
  if ((a == nullptr) != (b == nullptr)) return false;
  if (a == nullptr) {
    const bool same = std::get<std::string>(left) == std::get<std::string>(right);
    return (comparison == Comparison::kEqual && same) || (comparison == Comparison::kNotEqual && !same);
  }
  switch (comparison) {
    case Comparison::kLess:
      return *a < *b;
    case Comparison::kLessOrEqual:
      return *a <= *b;
    case Comparison::kEqual:
      return *a == *b;
    case Comparison::kNotEqual:
      return *a != *b;
    case Comparison::kGreaterOrEqual:
      return *a >= *b;
    case Comparison::kGreater:
      return *a > *b;
  }
  return false;
}

// Whether a comparison or `not` holds under a full assignment.
inline bool NaiveHolds(const Condition& condition, const Assignment& assignment, const Model& model) {
  if (condition.kind == Condition::Kind::kCompare) {
    Value right = NaiveValue(condition.right, assignment);
    if (const auto* number = std::get_if<double>(&right)) right = *number * condition.share_of_right;
    return NaiveCompare(NaiveValue(condition.left, assignment), condition.comparison, right);
  }
  for (const auto& [sense, statement] : model) {
    Assignment copy = assignment;
    if (sense == condition.sense && NaiveUnify(condition.pattern, statement, copy)) return false;
  }
  return true;
}

inline std::vector<NaiveMatch> NaiveMatches(const std::vector<Condition>& when, const Model& model,
                                            const Assignment& given = {}) {
  std::vector<NaiveMatch> partial{{given, {}}};
  for (const Condition& condition : when) {
    std::vector<NaiveMatch> longer;
    for (const NaiveMatch& match : partial) {
      if (condition.kind != Condition::Kind::kStatement) {
        longer.push_back(match);
        longer.back().premises.emplace_back();
        continue;
      }
      for (const Atom& atom : model) {
        NaiveMatch extended = match;
        if (atom.first != condition.sense || !NaiveUnify(condition.pattern, atom.second, extended.assignment))
          continue;
        extended.premises.emplace_back(atom);
        longer.push_back(std::move(extended));
      }
    }
    partial = std::move(longer);
  }
  std::vector<NaiveMatch> matches;
  for (NaiveMatch& match : partial) {
    bool holds = true;
    for (const Condition& condition : when) {
      holds = holds && (condition.kind == Condition::Kind::kStatement ||
                        NaiveHolds(condition, match.assignment, model));
    }
    if (holds) matches.push_back(std::move(match));
  }
  return matches;
}

using NaiveNode = std::pair<Sense, std::string>;

// Strata by statement; nothing when there are none, that is, when raising them does not end.
inline std::optional<std::map<NaiveNode, int>> NaiveStrata(const std::vector<Rule>& rules) {
  std::map<NaiveNode, int> strata;
  for (const Rule& rule : rules) {
    for (const Conclusion& conclusion : rule.then) strata[{conclusion.sense, conclusion.pattern.name}] = 0;
    for (const Condition& condition : rule.when) {
      if (condition.kind != Condition::Kind::kCompare) strata[{condition.sense, condition.pattern.name}] = 0;
    }
  }
  for (std::size_t pass = 0; pass <= strata.size(); ++pass) {
    bool changed = false;
    for (const Rule& rule : rules) {
      for (const Condition& condition : rule.when) {
        if (condition.kind == Condition::Kind::kCompare) continue;
        const int least =
            strata[{condition.sense, condition.pattern.name}] + (condition.kind == Condition::Kind::kNot);
        for (const Conclusion& conclusion : rule.then) {
          int& stratum = strata[{conclusion.sense, conclusion.pattern.name}];
          if (stratum < least) {
            stratum = least;
            changed = true;
          }
        }
      }
    }
    if (!changed) return strata;
  }
  return std::nullopt;
}

// Everything that follows. NaiveStrata must give strata.
inline Model NaiveChain(const std::vector<Rule>& rules, Model model) {
  const std::map<NaiveNode, int> strata = NaiveStrata(rules).value();
  int last = 0;
  for (const auto& [node, stratum] : strata) last = std::max(last, stratum);
  for (int stratum = 0; stratum <= last; ++stratum) {
    for (std::size_t before = model.size() + 1; before != model.size();) {
      before = model.size();
      for (const Rule& rule : rules) {
        for (const Conclusion& conclusion : rule.then) {
          if (strata.at({conclusion.sense, conclusion.pattern.name}) != stratum) continue;
          for (const NaiveMatch& match : NaiveMatches(rule.when, model)) {
            Statement statement{conclusion.pattern.name, {}};
            for (const Term& term : conclusion.pattern.terms)
              statement.slots.push_back(NaiveValue(term, match.assignment));
            model.emplace(conclusion.sense, std::move(statement));
          }
        }
      }
    }
  }
  return model;
}

}  // namespace gearwhy::test
