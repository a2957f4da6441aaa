// Rules and facts for tests, one a line:
//
//   reach: path(X,Z) :- edge(X,Y), path(Y,Z), not shut(Y,_), X != Z.
//   heard: present slips(R), noted :- slip(R,S), S > 0.5.
//   thin: worn(P) :- reads(P,T), new(P,N), T < 50% of N.
//   edge(a,b).
//
// Upper case is a variable, `_` anything. A rule's place is that of its id in the source with the number
// given.
#pragma once

#include <algorithm>
#include <cctype>
#include <stdexcept>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include "engine/chain/fact_store.h"

namespace gearwhy::test {

class RuleText {
 public:
  RuleText(std::string_view line, int source, int line_number)
      : rest_(line), source_(source), line_(line_number) {}

  Rule ReadRule() {
    Rule rule;
    rule.id = Name();
    rule.place = {source_, line_, 1, static_cast<int>(rule.id.size())};
    Need(":");
    do {
      auto [sense, pattern] = Atom(Name());
      rule.then.push_back({sense, std::move(pattern)});
    } while (Take(","));
    if (Take(":-")) {
      do rule.when.push_back(ReadCondition());
      while (Take(","));
    }
    Need(".");
    return rule;
  }

  std::pair<Sense, Statement> ReadFact() {
    auto [sense, pattern] = Atom(Name());
    Need(".");
    Statement statement{pattern.name, {}};
    for (const Term& term : pattern.terms) statement.slots.push_back(std::get<Value>(term));
    return {sense, statement};
  }

  Condition ReadCondition() {
    Condition condition;
    condition.place = {source_, line_, 1, 1};
    const std::string_view before = rest_;
    const std::string first = Name();
    if (first == "not") {
      condition.kind = Condition::Kind::kNot;
      std::tie(condition.sense, condition.pattern) = Atom(Name());
      return condition;
    }
    if (!first.empty() && std::islower(static_cast<unsigned char>(first[0])) && !AtComparison()) {
      std::tie(condition.sense, condition.pattern) = Atom(first);
      return condition;
    }
    rest_ = before;
    condition.kind = Condition::Kind::kCompare;
    condition.left = ReadTerm();
    condition.comparison = ReadComparison();
    condition.right = ReadTerm();
    if (Take("% of")) {
      condition.share_of_right = std::get<double>(std::get<Value>(condition.right)) / 100;
      condition.right = ReadTerm();
    }
    return condition;
  }

 private:
  void Skip() {
    while (!rest_.empty() && rest_.front() == ' ') rest_.remove_prefix(1);
  }
  bool Take(std::string_view token) {
    Skip();
    if (!rest_.starts_with(token)) return false;
    rest_.remove_prefix(token.size());
    return true;
  }
  void Need(std::string_view token) {
    if (!Take(token))
      throw std::runtime_error("expected " + std::string(token) + " at " + std::string(rest_));
  }
  // Letters, digits, `_`, `-`; and a point between digits.
  std::string Name() {
    Skip();
    std::size_t n = 0;
    const auto is = [this](std::size_t i, int (*test)(int)) {
      return i < rest_.size() && test(static_cast<unsigned char>(rest_[i])) != 0;
    };
    while (n < rest_.size() &&
           (is(n, std::isalnum) || rest_[n] == '_' || rest_[n] == '-' ||
            (n > 0 && rest_[n] == '.' && is(n - 1, std::isdigit) && is(n + 1, std::isdigit)))) {
      ++n;
    }
    const std::string name(rest_.substr(0, n));
    rest_.remove_prefix(n);
    return name;
  }
  Term ReadTerm() {
    const std::string name = Name();
    if (name.empty()) throw std::runtime_error("expected a term at " + std::string(rest_));
    if (name == "_") return Anything{};
    if (std::isupper(static_cast<unsigned char>(name[0]))) return Variable{name};
    if (std::isdigit(static_cast<unsigned char>(name[0])) || name[0] == '-') return Value{std::stod(name)};
    return Value{name};
  }
  std::pair<Sense, Pattern> Atom(std::string name) {
    Sense sense = Sense::kFact;
    if (name == "present" || name == "absent") {
      sense = name == "present" ? Sense::kPresent : Sense::kAbsent;
      name = Name();
    }
    Pattern pattern{name, {}, {source_, line_, 1, 1}};
    if (Take("(")) {
      do pattern.terms.push_back(ReadTerm());
      while (Take(","));
      Need(")");
    }
    return {sense, pattern};
  }
  bool AtComparison() {
    Skip();
    return !rest_.empty() && (rest_[0] == '<' || rest_[0] == '>' || rest_[0] == '=' || rest_[0] == '!');
  }
  Comparison ReadComparison() {
    if (Take("<=")) return Comparison::kLessOrEqual;
    if (Take(">=")) return Comparison::kGreaterOrEqual;
    if (Take("!=")) return Comparison::kNotEqual;
    if (Take("<")) return Comparison::kLess;
    if (Take(">")) return Comparison::kGreater;
    Need("=");
    return Comparison::kEqual;
  }

  std::string_view rest_;
  int source_;
  int line_;
};

// Calls `visit` with each line that is not empty, and its number.
template <typename Visit>
void ForEachLine(std::string_view text, Visit visit) {
  int number = 0;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    ++number;
    while (!line.empty() && line.front() == ' ') line.remove_prefix(1);
    if (!line.empty()) visit(line, number);
  }
}

inline std::vector<Rule> Rules(std::string_view text, int source = 0) {
  std::vector<Rule> rules;
  ForEachLine(text, [&](std::string_view line, int number) {
    rules.push_back(RuleText(line, source, number).ReadRule());
  });
  return rules;
}

inline FactStore Facts(std::string_view text) {
  FactStore store;
  ForEachLine(text, [&](std::string_view line, int number) {
    const auto [sense, statement] = RuleText(line, -1, number).ReadFact();
    store.Add(sense, statement);
  });
  return store;
}

// One condition a line.
inline std::vector<Condition> Conditions(std::string_view text) {
  std::vector<Condition> conditions;
  ForEachLine(text, [&](std::string_view line, int number) {
    conditions.push_back(RuleText(line, -1, number).ReadCondition());
  });
  return conditions;
}

}  // namespace gearwhy::test
