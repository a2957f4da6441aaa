// Strata: see strata.h, and CheckStrata in chain.h.
#include "engine/chain/strata.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <deque>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <utility>

#include "engine/chain/chain.h"
#include "engine/text/at.h"

namespace gearwhy {

namespace {

using Node = std::pair<Sense, std::string>;  // a statement's name, and how it is meant

// `from` (under `not` or plainly) is a premise of a rule that concludes `to`.
struct Edge {
  Node from, to;
  bool through_not = false;
  const Rule* rule = nullptr;
};

Node PremiseNode(const Condition& condition) { return {condition.sense, condition.pattern.name}; }
Node ConclusionNode(const Conclusion& conclusion) { return {conclusion.sense, conclusion.pattern.name}; }

std::string Show(const Node& node) {
  switch (node.first) {
    case Sense::kFact:
      return fmt::format("`{}`", node.second);
    case Sense::kPresent:
      return fmt::format("`present: {}`", node.second);
    case Sense::kAbsent:
      return fmt::format("`absent: {}`", node.second);
  }
  return {};
}

// "no `q` gives `p`"
std::string Clause(const Edge& edge) {
  return fmt::format("{}{} gives {}", edge.through_not ? "no " : "", Show(edge.from), Show(edge.to));
}

// Of several from one statement to another the first.
std::map<Node, std::vector<Edge>> EdgesByPremise(const std::vector<Rule>& rules) {
  std::map<Node, std::vector<Edge>> edges;
  std::set<std::pair<Node, Node>> known;
  for (const Rule& rule : rules) {
    for (const Condition& condition : rule.when) {
      if (condition.kind == Condition::Kind::kCompare) continue;
      for (const Conclusion& conclusion : rule.then) {
        const Node from = PremiseNode(condition);
        const Node to = ConclusionNode(conclusion);
        if (known.emplace(from, to).second)
          edges[from].push_back({from, to, condition.kind == Condition::Kind::kNot, &rule});
      }
    }
  }
  return edges;
}

// A shortest way along the edges; empty when `start` is `goal`. Nothing when there is none. Breadth first.
std::optional<std::vector<Edge>> FindWay(const std::map<Node, std::vector<Edge>>& edges, const Node& start,
                                         const Node& goal) {
  std::map<Node, const Edge*> reached_by{{start, nullptr}};
  std::deque<Node> queue{start};
  while (!queue.empty() && !reached_by.contains(goal)) {
    const auto leaving = edges.find(queue.front());
    queue.pop_front();
    if (leaving == edges.end()) continue;
    for (const Edge& edge : leaving->second) {
      if (reached_by.emplace(edge.to, &edge).second) queue.push_back(edge.to);
    }
  }
  if (!reached_by.contains(goal)) return std::nullopt;
  std::vector<Edge> way;
  for (const Edge* edge = reached_by[goal]; edge != nullptr; edge = reached_by[edge->from])
    way.push_back(*edge);
  std::reverse(way.begin(), way.end());
  return way;
}

// The cycle through this `not`, from its statement on; the shortest over the rule's conclusions. Empty when
// there is none.
std::vector<Edge> FindCycle(const std::map<Node, std::vector<Edge>>& edges, const Rule& rule,
                            const Condition& not_condition) {
  std::vector<Edge> best;
  const Node denied = PremiseNode(not_condition);
  for (const Conclusion& conclusion : rule.then) {
    const Node concluded = ConclusionNode(conclusion);
    const std::optional<std::vector<Edge>> way = FindWay(edges, concluded, denied);
    if (!way || (!best.empty() && way->size() + 1 >= best.size())) continue;
    best = {{denied, concluded, true, &rule}};
    best.insert(best.end(), way->begin(), way->end());
  }
  return best;
}

}  // namespace

bool CheckStrata(const std::vector<Rule>& rules, Diagnostics& diagnostics) {
  const std::map<Node, std::vector<Edge>> edges = EdgesByPremise(rules);
  std::set<std::set<std::tuple<Node, Node, bool>>> reported;  // a cycle with two `not` is one cycle
  for (const Rule& rule : rules) {
    for (const Condition& condition : rule.when) {
      if (condition.kind != Condition::Kind::kNot) continue;
      const std::vector<Edge> cycle = FindCycle(edges, rule, condition);
      if (cycle.empty()) continue;
      std::set<std::tuple<Node, Node, bool>> name;
      std::string clauses;
      for (const Edge& edge : cycle) {
        name.emplace(edge.from, edge.to, edge.through_not);
        clauses += (clauses.empty() ? "" : ", ") + Clause(edge);
      }
      if (!reported.insert(name).second) continue;
      Diagnostic& error = diagnostics.Error(
          rule.place, "not-cycle",
          fmt::format("rules run in a circle through `not`: {}; let one of them conclude another statement",
                      clauses));
      for (const Edge& edge : cycle) {
        error.notes.push_back(
            {edge.rule->place, fmt::format("by rule `{}` {}", edge.rule->id, Clause(edge))});
      }
    }
  }
  return reported.empty();
}

std::vector<int> StrataOf(const std::vector<Rule>& rules) {
  // By rule: the statements it is concluded from, each with how much higher the conclusion is, and its
  // conclusions.
  struct Numbered {
    std::vector<std::pair<std::size_t, int>> premises;
    std::vector<std::size_t> conclusions;
  };
  std::map<Node, std::size_t> numbers;
  const auto number = [&numbers](const Node& node) {
    return numbers.emplace(node, numbers.size()).first->second;
  };
  std::vector<Numbered> numbered(rules.size());
  for (std::size_t r = 0; r < rules.size(); ++r) {
    for (const Condition& condition : rules[r].when) {
      if (condition.kind == Condition::Kind::kCompare) continue;
      numbered[r].premises.emplace_back(number(PremiseNode(condition)),
                                        condition.kind == Condition::Kind::kNot ? 1 : 0);
    }
    for (const Conclusion& conclusion : rules[r].then)
      numbered[r].conclusions.push_back(number(ConclusionNode(conclusion)));
  }
  std::vector<int> stratum(numbers.size());
  const auto lowest = [&stratum](const Numbered& rule) {
    int least = 0;
    for (const auto& [premise, higher] : rule.premises) least = std::max(least, stratum[premise] + higher);
    return least;
  };
  for (bool changed = true; changed;) {
    changed = false;
    for (const Numbered& rule : numbered) {
      const int least = lowest(rule);
      for (const std::size_t conclusion : rule.conclusions) {
        if (stratum[conclusion] >= least) continue;
        stratum[conclusion] = least;
        changed = true;
        assert(At(least) <= stratum.size());  // else a cycle through `not`
      }
    }
  }
  std::vector<int> strata;
  for (const Numbered& rule : numbered) {
    int least = rule.conclusions.empty() ? lowest(rule) : stratum[rule.conclusions.front()];
    for (const std::size_t conclusion : rule.conclusions) least = std::min(least, stratum[conclusion]);
    strata.push_back(least);
  }
  return strata;
}

}  // namespace gearwhy
