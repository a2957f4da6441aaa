// Random rulebooks with facts, the same for the same seed: joins, repeated variables, comparisons, `not`,
// several conclusions, recursion, and the same name in three senses.
//
// Every variable of a conclusion, a comparison or a `not` is bound by a statement, as the loader demands.
// Nothing keeps the rules from running in a circle through `not`: whoever wants strata asks for them.
#pragma once

#include <algorithm>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "tests/chain/naive.h"

namespace gearwhy::test {

struct RandomBook {
  std::vector<Rule> rules;
  std::vector<Atom> facts;
};

class RandomBookMaker {
 public:
  // `typed`: every slot holds either names or numbers and comparisons compare like with like. Otherwise
  // anything goes.
  RandomBookMaker(unsigned seed, bool typed) : random_(seed), typed_(typed) {}

  RandomBook Make() {
    RandomBook book;
    words_.clear();
    for (int i = 0; i < 5; ++i) {
      Word word{"p" + std::to_string(i), {}, i > 2};
      const int slots = Chance(15) ? 3 : Chance(15) ? 0 : 1 + Below(2);
      for (int slot = 0; slot < slots; ++slot) word.numeric.push_back(Chance(35));
      words_.push_back(word);
    }
    for (int i = 4 + Below(20); i > 0; --i) {
      const Word& word = AnyWord();
      Statement statement{word.name, {}};
      for (const bool numeric : word.numeric) statement.slots.push_back(AnyValue(numeric));
      book.facts.emplace_back(AnySense(word), std::move(statement));
    }
    for (int i = 2 + Below(7); i > 0; --i) book.rules.push_back(MakeRule("rule-" + std::to_string(i)));
    return book;
  }

 private:
  struct Word {
    std::string name;
    std::vector<bool> numeric;  // by slot
    bool event = false;         // may be observed as well
  };

  int Below(int n) { return static_cast<int>(random_() % static_cast<unsigned>(n)); }
  bool Chance(int percent) { return Below(100) < percent; }
  const Word& AnyWord() { return words_[static_cast<std::size_t>(Below(static_cast<int>(words_.size())))]; }
  Sense AnySense(const Word& word) {
    return word.event && Chance(50) ? (Chance(50) ? Sense::kPresent : Sense::kAbsent) : Sense::kFact;
  }
  Value AnyValue(bool numeric) {
    static const std::vector<double> numbers{-1, 0.25, 2, 17.5};
    static const std::vector<std::string> names{"a", "b", "c"};
    if (typed_ ? numeric : Chance(40)) return numbers[static_cast<std::size_t>(Below(4))];
    return names[static_cast<std::size_t>(Below(3))];
  }
  Variable AnyVariable(bool numeric) {
    static const std::vector<std::string> of_names{"X", "Y", "Z"};
    static const std::vector<std::string> of_numbers{"M", "N"};
    if (typed_ ? numeric : Chance(40)) return {of_numbers[static_cast<std::size_t>(Below(2))]};
    return {of_names[static_cast<std::size_t>(Below(3))]};
  }
  static bool IsNumeric(const std::string& variable) { return variable == "M" || variable == "N"; }
  // A bound variable of the type, or a value.
  Term AnyKnown(bool numeric, const std::set<std::string>& bound, int percent_variable = 80) {
    std::vector<std::string> fitting;
    for (const std::string& name : bound) {
      if (!typed_ || IsNumeric(name) == numeric) fitting.push_back(name);
    }
    if (fitting.empty() || !Chance(percent_variable)) return AnyValue(numeric);
    return Variable{fitting[static_cast<std::size_t>(Below(static_cast<int>(fitting.size())))]};
  }

  Rule MakeRule(std::string id) {
    Rule rule;
    rule.id = std::move(id);
    std::set<std::string> bound;
    for (int i = Chance(8) ? 0 : 1 + Below(3); i > 0; --i) {
      const Word& word = AnyWord();
      Condition condition;
      condition.sense = AnySense(word);
      condition.pattern.name = word.name;
      for (const bool numeric : word.numeric) {
        if (Chance(15)) {
          condition.pattern.terms.emplace_back(Anything{});
        } else if (Chance(8)) {
          condition.pattern.terms.emplace_back(AnyValue(numeric));
        } else {
          const Variable variable = AnyVariable(numeric);
          bound.insert(variable.name);
          condition.pattern.terms.emplace_back(variable);
        }
      }
      rule.when.push_back(std::move(condition));
    }
    for (int i = Chance(40) ? 1 + Below(2) : 0; i > 0; --i) {
      Condition condition;
      condition.kind = Condition::Kind::kCompare;
      const bool numeric = Chance(50);
      condition.left = AnyKnown(numeric, bound);
      condition.right = AnyKnown(numeric, bound, 50);
      if (typed_ && !numeric) {
        condition.comparison = Chance(30) ? Comparison::kEqual : Comparison::kNotEqual;
      } else {
        condition.comparison = static_cast<Comparison>(Below(6));
      }
      rule.when.push_back(std::move(condition));
    }
    for (int i = Chance(35) ? 1 + Below(2) : 0; i > 0; --i) {
      const Word& word = AnyWord();
      Condition condition;
      condition.kind = Condition::Kind::kNot;
      condition.sense = AnySense(word);
      condition.pattern.name = word.name;
      for (const bool numeric : word.numeric) {
        condition.pattern.terms.push_back(Chance(30) ? Term{Anything{}} : AnyKnown(numeric, bound));
      }
      rule.when.push_back(std::move(condition));
    }
    std::shuffle(rule.when.begin(), rule.when.end(), random_);
    for (int i = Chance(25) ? 2 : 1; i > 0; --i) {
      const Word& word = AnyWord();
      Conclusion conclusion;
      conclusion.sense = AnySense(word);
      conclusion.pattern.name = word.name;
      for (const bool numeric : word.numeric) conclusion.pattern.terms.push_back(AnyKnown(numeric, bound));
      rule.then.push_back(std::move(conclusion));
    }
    return rule;
  }

  std::mt19937 random_;
  bool typed_;
  std::vector<Word> words_;
};

inline bool HasNot(const std::vector<Rule>& rules) {
  return std::any_of(rules.begin(), rules.end(), [](const Rule& rule) {
    return std::any_of(rule.when.begin(), rule.when.end(),
                       [](const Condition& condition) { return condition.kind == Condition::Kind::kNot; });
  });
}

inline FactStore StoreOf(const std::vector<Atom>& facts) {
  FactStore store;
  for (const auto& [sense, statement] : facts) store.Add(sense, statement);
  return store;
}

inline Model ModelOf(const FactStore& store) {
  Model model;
  for (FactId fact = 0; fact < store.size(); ++fact)
    model.emplace(store.Get(fact).sense, store.Get(fact).statement);
  return model;
}

}  // namespace gearwhy::test
