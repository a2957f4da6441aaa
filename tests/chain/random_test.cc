// The chain against the naive evaluator, on random rulebooks with fixed seeds: facts, derivations, matches,
// strata.
#include <map>
#include <random>

#include "engine/chain/proof.h"
#include "tests/chain/naive.h"
#include "tests/chain/random_rules.h"
#include "tests/support/catch.h"

using namespace gearwhy;
using namespace gearwhy::test;

namespace {

// Keeps every derivation, and lays down the proofs as well.
class KeepAll : public Recorder {
 public:
  void Derived(const Derivation& derivation) override {
    all.push_back(derivation);
    book.Derived(derivation);
  }
  std::vector<Derivation> all;
  ProofBook book;
};

Assignment AssignmentOf(const Bindings& bindings) {
  Assignment assignment;
  for (const Binding& binding : bindings) assignment.emplace(binding.variable, binding.value);
  return assignment;
}

Atom AtomOf(const FactStore& store, FactId fact) {
  return {store.Get(fact).sense, store.Get(fact).statement};
}

// A pattern with the variables' values put in; Anything stays.
bool IsInstance(const Pattern& pattern, const Statement& statement, const Assignment& assignment) {
  Assignment copy = assignment;
  return NaiveUnify(pattern, statement, copy) && copy == assignment;
}

// Replays one derivation by hand against the complete model.
void CheckDerivation(const Derivation& derivation, const FactStore& store, const Model& model) {
  const Assignment assignment = AssignmentOf(derivation.bindings);
  const Rule& rule = *derivation.rule;
  REQUIRE(std::is_sorted(derivation.bindings.begin(), derivation.bindings.end(),
                         [](const Binding& a, const Binding& b) { return a.variable < b.variable; }));
  REQUIRE(derivation.premises.size() == rule.when.size());
  for (std::size_t i = 0; i < rule.when.size(); ++i) {
    const Premise& premise = derivation.premises[i];
    REQUIRE(premise.condition == static_cast<int>(i));
    REQUIRE(premise.kind == rule.when[i].kind);
    if (premise.kind != Condition::Kind::kStatement) {
      REQUIRE(premise.fact == -1);
      REQUIRE(NaiveHolds(rule.when[i], assignment, model));
      continue;
    }
    const StoredFact fact = store.Get(premise.fact);
    REQUIRE(fact.sense == rule.when[i].sense);
    REQUIRE(IsInstance(rule.when[i].pattern, fact.statement, assignment));
    if (derivation.is_new) REQUIRE(premise.fact < derivation.fact);
  }
  const Conclusion& conclusion = rule.then.at(static_cast<std::size_t>(derivation.conclusion));
  REQUIRE(AtomOf(store, derivation.fact) ==
          Atom{conclusion.sense, Fill(conclusion.pattern, derivation.bindings)});
}

// Every match of every rule in the model, for each conclusion; the chain must derive exactly these.
using Reason = std::tuple<std::size_t, int, NaiveMatch>;
std::multiset<Reason> AllReasons(const std::vector<Rule>& rules, const Model& model) {
  std::multiset<Reason> reasons;
  for (std::size_t r = 0; r < rules.size(); ++r) {
    for (const NaiveMatch& match : NaiveMatches(rules[r].when, model)) {
      for (std::size_t c = 0; c < rules[r].then.size(); ++c) reasons.emplace(r, static_cast<int>(c), match);
    }
  }
  return reasons;
}

NaiveMatch MatchOf(const Bindings& bindings, const std::vector<Premise>& premises, const FactStore& store) {
  NaiveMatch match{AssignmentOf(bindings), {}};
  for (const Premise& premise : premises) {
    match.premises.push_back(premise.fact < 0 ? std::nullopt : std::optional(AtomOf(store, premise.fact)));
  }
  return match;
}

void CheckProofs(const ProofBook& book, const FactStore& store, int given) {
  for (FactId fact = 0; fact < store.size(); ++fact) {
    const Derivation* derivation = book.Find(fact);
    REQUIRE((derivation != nullptr) == (fact >= given));
    if (derivation == nullptr) continue;
    REQUIRE(derivation->fact == fact);
    for (const Premise& premise : derivation->premises)
      REQUIRE(premise.fact < fact);  // so it ends at given facts
  }
}

}  // namespace

TEST_CASE("the chain derives what the naive evaluator derives, each way exactly once") {
  int books = 0, with_not = 0, with_derived = 0, circular = 0, recursive_rounds = 0;
  RandomBookMaker typed(20'250'101, true);
  RandomBookMaker untyped(20'250'102, false);
  for (int i = 0; books < 700; ++i) {
    const RandomBook book = i % 2 == 0 ? typed.Make() : untyped.Make();
    INFO("rulebook " << i);
    Diagnostics diagnostics;
    const bool stratified = NaiveStrata(book.rules).has_value();
    REQUIRE(CheckStrata(book.rules, diagnostics) == stratified);
    REQUIRE(diagnostics.HasErrors() != stratified);
    if (!stratified) {
      ++circular;
      continue;
    }
    ++books;
    FactStore store = StoreOf(book.facts);
    const int given = store.size();
    KeepAll keep;
    REQUIRE(Chain(book.rules, store, &keep, diagnostics));
    REQUIRE(!diagnostics.HasErrors());

    const Model model = ModelOf(store);
    REQUIRE(model.size() == static_cast<std::size_t>(store.size()));
    REQUIRE(model == NaiveChain(book.rules, Model(book.facts.begin(), book.facts.end())));

    std::multiset<Reason> derived;
    for (const Derivation& derivation : keep.all) {
      CheckDerivation(derivation, store, model);
      derived.emplace(static_cast<std::size_t>(derivation.rule - book.rules.data()), derivation.conclusion,
                      MatchOf(derivation.bindings, derivation.premises, store));
      for (const Premise& premise : derivation.premises) recursive_rounds += premise.fact >= given;
    }
    REQUIRE(derived == AllReasons(book.rules, model));
    CheckProofs(keep.book, store, given);
    with_not += HasNot(book.rules);
    with_derived += store.size() > given;
  }
  // The rulebooks were worth trying.
  CHECK(with_not > 200);
  CHECK(with_derived > 400);
  CHECK(circular > 50);
  CHECK(recursive_rounds > 2000);
}

// The facts of a book parted in two: a base to which the rules have been applied, and what comes in addition.
TEST_CASE("what comes onto a base that is complete leads to what all facts together lead to") {
  int compared = 0, denied = 0, added = 0;
  RandomBookMaker maker(20'250'104, false);
  std::mt19937 random(11);
  while (compared < 1200) {
    const RandomBook book = maker.Make();
    if (!NaiveStrata(book.rules)) continue;
    std::vector<Atom> first, second;
    for (const Atom& fact : book.facts) (random() % 2 == 0 ? first : second).push_back(fact);
    Diagnostics diagnostics;
    auto base = std::make_shared<FactStore>(StoreOf(first));
    const RuleProgram program(book.rules, *base);
    REQUIRE(program.Run(*base, nullptr, diagnostics) == Chained::kDone);
    FactStore store(base);
    for (const auto& [sense, statement] : second) store.Add(sense, statement);
    const int given = store.size();
    KeepAll keep;
    const Chained end = program.Run(store, &keep, diagnostics);
    const Model whole = NaiveChain(book.rules, Model(book.facts.begin(), book.facts.end()));
    if (end == Chained::kDenied) {
      ++denied;
      REQUIRE(HasNot(book.rules));
      continue;
    }
    REQUIRE(end == Chained::kDone);
    ++compared;
    REQUIRE(ModelOf(store) == whole);
    REQUIRE(whole.size() == static_cast<std::size_t>(store.size()));
    for (const Derivation& derivation : keep.all) CheckDerivation(derivation, store, whole);
    added += store.size() > given && given > base->size();
  }
  CHECK(denied > 50);
  CHECK(added > 100);
}

TEST_CASE(
    "the order of rules and facts does not change what follows, and the same order gives the same numbers") {
  RandomBookMaker maker(20'250'103, false);
  std::mt19937 random(7);
  for (int books = 0; books < 150;) {
    const RandomBook book = maker.Make();
    if (!NaiveStrata(book.rules)) continue;
    ++books;
    Diagnostics diagnostics;
    FactStore first = StoreOf(book.facts);
    KeepAll first_keep;
    REQUIRE(Chain(book.rules, first, &first_keep, diagnostics));

    FactStore again = StoreOf(book.facts);
    KeepAll again_keep;
    REQUIRE(Chain(book.rules, again, &again_keep, diagnostics));
    REQUIRE(first.size() == again.size());
    for (FactId fact = 0; fact < first.size(); ++fact) REQUIRE(AtomOf(first, fact) == AtomOf(again, fact));
    REQUIRE(first_keep.all.size() == again_keep.all.size());
    for (std::size_t i = 0; i < first_keep.all.size(); ++i) {
      const Derivation& a = first_keep.all[i];
      const Derivation& b = again_keep.all[i];
      REQUIRE(
          (a.rule == b.rule && a.conclusion == b.conclusion && a.fact == b.fact && a.bindings == b.bindings));
    }

    RandomBook shuffled = book;
    std::shuffle(shuffled.rules.begin(), shuffled.rules.end(), random);
    std::shuffle(shuffled.facts.begin(), shuffled.facts.end(), random);
    for (Rule& rule : shuffled.rules) std::shuffle(rule.when.begin(), rule.when.end(), random);
    FactStore other = StoreOf(shuffled.facts);
    KeepAll other_keep;
    REQUIRE(Chain(shuffled.rules, other, &other_keep, diagnostics));
    REQUIRE(ModelOf(first) == ModelOf(other));
    REQUIRE(first_keep.all.size() == other_keep.all.size());
  }
}

TEST_CASE("matches are those of the naive evaluator, in the order of the facts that meet the conditions") {
  RandomBookMaker maker(20'250'104, false);
  std::mt19937 random(8);
  std::size_t found = 0;
  for (int books = 0; books < 400;) {
    const RandomBook book = maker.Make();
    if (!NaiveStrata(book.rules)) continue;
    ++books;
    Diagnostics diagnostics;
    FactStore store = StoreOf(book.facts);
    REQUIRE(Chain(book.rules, store, nullptr, diagnostics));
    const Model model = ModelOf(store);
    for (const Rule& rule : book.rules) {
      Bindings given;  // sometimes a variable is given, with a value that may be in no fact
      if (random() % 2 == 0) given.push_back({"X", random() % 3 == 0 ? Value{"nowhere"} : Value{"a"}});
      const std::vector<Match> matches = FindMatches(rule.when, store, given);
      std::multiset<NaiveMatch> as_naive;
      std::vector<std::vector<FactId>> order;
      for (const Match& match : matches) {
        as_naive.insert(MatchOf(match.bindings, match.premises, store));
        order.emplace_back();
        for (const Premise& premise : match.premises) order.back().push_back(premise.fact);
      }
      const std::vector<NaiveMatch> expected = NaiveMatches(rule.when, model, AssignmentOf(given));
      REQUIRE(as_naive == std::multiset<NaiveMatch>(expected.begin(), expected.end()));
      REQUIRE(std::is_sorted(order.begin(), order.end()));
      found += matches.size();
    }
  }
  CHECK(found > 1000);
}

TEST_CASE("a rule that did not fire names the first condition that nothing meets") {
  RandomBookMaker maker(20'250'105, false);
  int misses = 0;
  for (int books = 0; books < 200;) {
    const RandomBook book = maker.Make();
    if (!NaiveStrata(book.rules)) continue;
    ++books;
    Diagnostics diagnostics;
    FactStore store = StoreOf(book.facts);
    REQUIRE(Chain(book.rules, store, nullptr, diagnostics));
    const Model model = ModelOf(store);
    for (const Rule& target : book.rules) {
      // A statement of the right form that may or may not hold.
      const Conclusion& wanted = target.then.front();
      Statement statement{wanted.pattern.name, {}};
      for (const Term& term : wanted.pattern.terms) {
        statement.slots.push_back(std::holds_alternative<Value>(term) ? std::get<Value>(term) : Value{"b"});
      }
      for (const NearMiss& miss : WhyNot(book.rules, store, wanted.sense, statement)) {
        ++misses;
        const Rule& rule = *miss.rule;
        const Conclusion& conclusion = rule.then.at(static_cast<std::size_t>(miss.conclusion));
        Assignment head;
        REQUIRE(conclusion.sense == wanted.sense);
        REQUIRE(NaiveUnify(conclusion.pattern, statement, head));
        // No match with this head, so it did not fire.
        REQUIRE(NaiveMatches(rule.when, model, head).empty());
        // The conditions met hold together under its bindings; with the failed one nothing does.
        std::set<std::string> bound;
        for (const auto& [variable, value] : head) bound.insert(variable);
        std::vector<Condition> met;
        std::vector<bool> taken(rule.when.size());
        const auto ready = [&bound](const Condition& condition) {
          std::vector<Term> terms = condition.pattern.terms;
          if (condition.kind == Condition::Kind::kCompare) terms = {condition.left, condition.right};
          return condition.kind == Condition::Kind::kStatement ||
                 std::all_of(terms.begin(), terms.end(), [&bound](const Term& term) {
                   const auto* variable = std::get_if<Variable>(&term);
                   return variable == nullptr || bound.contains(variable->name);
                 });
        };
        const auto next = [&] {
          for (std::size_t i = 0; i < rule.when.size(); ++i) {
            if (!taken[i] && ready(rule.when[i])) return i;
          }
          return rule.when.size();
        };
        for (int i = 0; i < miss.conditions_met; ++i) {
          const std::size_t index = next();
          REQUIRE(index < rule.when.size());
          taken[index] = true;
          met.push_back(rule.when[index]);
          for (const Term& term : rule.when[index].pattern.terms) {
            if (const auto* variable = std::get_if<Variable>(&term)) bound.insert(variable->name);
          }
        }
        REQUIRE(next() == static_cast<std::size_t>(miss.failed_condition));
        REQUIRE(!NaiveMatches(met, model, AssignmentOf(miss.bindings)).empty());
        met.push_back(rule.when[static_cast<std::size_t>(miss.failed_condition)]);
        REQUIRE(NaiveMatches(met, model, head).empty());
      }
    }
  }
  CHECK(misses > 200);
}
