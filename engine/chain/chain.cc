// Chain: see chain.h.
#include "engine/chain/chain.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <utility>

#include "engine/chain/compile.h"
#include "engine/text/at.h"

namespace gearwhy {

namespace {

// The premises that go with one match, in the order of the conditions.
std::vector<Premise> PremisesOf(const std::vector<Condition>& conditions, const std::vector<FactId>& facts) {
  std::vector<Premise> premises;
  premises.reserve(conditions.size());
  for (std::size_t i = 0; i < conditions.size(); ++i) {
    premises.push_back({conditions[i].kind, static_cast<int>(i), facts[i]});
  }
  return premises;
}

// One run of a program.
class Chaining {
 public:
  Chaining(const CompiledRules& program, FactStore& store, Recorder* recorder, const ChainLimits& limits)
      : program_(program),
        store_(store),
        recorder_(recorder),
        limits_(limits),
        on_base_(store.has_base()),
        search_(store),
        met_(At(program.strata())),
        denied_(At(program.strata())) {}

  Chained Run();
  void Report(Diagnostics& diagnostics) const;

 private:
  // A fact that a condition waits for.
  struct Met {
    int waiting = 0;
    FactId fact = 0;
    friend auto operator<=>(const Met&, const Met&) = default;
  };
  // What one rule did at one time.
  struct RuleWork {
    std::size_t rule = 0;
    int new_facts = 0;
    long steps = 0;
  };

  void Notice(FactId fact);
  bool IsDenied();
  bool RunWhole();
  bool RunRounds(FactId old);
  bool RunSearch(std::size_t rule, const Plan& plan, const Meets& meets);
  bool Conclude(std::size_t rule);

  const CompiledRules& program_;
  FactStore& store_;
  Recorder* recorder_;
  const ChainLimits& limits_;
  const bool on_base_;
  Search search_;
  // By stratum: facts of the last round that statements wait for, and those that a `not` does.
  std::vector<std::vector<Met>> met_, denied_;
  int stratum_ = 0;
  std::vector<RuleWork> work_;
  long steps_ = 0;
  bool too_many_facts_ = false;
  std::vector<ValueId> slots_;
};

Chained Chaining::Run() {
  for (FactId fact = store_.base_size(); on_base_ && fact < store_.size(); ++fact) Notice(fact);
  for (stratum_ = 0; stratum_ < program_.strata(); ++stratum_) {
    if (on_base_ && IsDenied()) return Chained::kDenied;
    const FactId known = on_base_ ? store_.base_size() : store_.size();
    if (!on_base_ && !RunWhole()) return Chained::kLimit;
    if (!RunRounds(known)) return Chained::kLimit;
  }
  return Chained::kDone;
}

// Takes the fact to the conditions that wait for it. Without a base, every stratum begins with all that is
// known.
void Chaining::Notice(FactId fact) {
  program_.ForEachWaitingFor(store_, fact, [&](int index) {
    const Waiting& waiting = program_.waiting()[At(index)];
    if (on_base_ ? waiting.stratum < stratum_ : waiting.denies || waiting.stratum != stratum_) return;
    (waiting.denies ? denied_ : met_)[At(waiting.stratum)].push_back({index, fact});
  });
}

// Whether a rule of the stratum may have concluded something in the base that one of the store's own facts
// denies. What a `not` asks for is complete by now.
bool Chaining::IsDenied() {
  const std::vector<Met>& denied = denied_[At(stratum_)];
  return std::any_of(denied.begin(), denied.end(), [this](const Met& met) {
    search_.Begin(program_.waiting()[At(met.waiting)].plan,
                  {store_.base_size(), store_.base_size(), met.fact});
    return search_.Next(steps_);
  });
}

// Every match in the facts that are known, rule by rule, each in the order that their numbers ask for.
bool Chaining::RunWhole() {
  const FactId end = store_.size();
  for (const std::size_t rule : program_.RulesOf(stratum_)) {
    const std::vector<Condition>& when = program_.source()[rule].when;
    const bool in_vain = std::any_of(when.begin(), when.end(), [this](const Condition& condition) {
      return condition.kind == Condition::Kind::kStatement &&
             store_.Named(condition.sense, condition.pattern.name).empty();
    });
    if (in_vain) continue;
    const VariableNumbers& variables = program_.rules()[rule].variables;
    const Plan plan = MakePlan(when, NumberingIn(store_, variables), std::vector<bool>(variables.size()));
    if (!RunSearch(rule, plan, {end})) return false;
  }
  return true;
}

// Round by round, every match in which at least one fact is of the last round and none is newer. Told apart
// by the first condition, as written, that such a fact meets: those before it meet facts below `old`, those
// behind it any.
bool Chaining::RunRounds(FactId old) {
  std::vector<Met>& met = met_[At(stratum_)];
  std::vector<Met> round;
  while (!met.empty()) {
    round.clear();
    round.swap(met);
    if (!std::is_sorted(round.begin(), round.end())) std::sort(round.begin(), round.end());
    const FactId end = store_.size();
    for (const Met& one : round) {
      const Waiting& waiting = program_.waiting()[At(one.waiting)];
      if (!RunSearch(At(waiting.rule), waiting.plan, {end, old, one.fact})) return false;
    }
    old = end;
  }
  return true;
}

bool Chaining::RunSearch(std::size_t rule, const Plan& plan, const Meets& meets) {
  if (work_.empty() || work_.back().rule != rule) work_.push_back({rule});
  const long steps_before = steps_;
  search_.Begin(plan, meets);
  bool within = true;
  while (within && search_.Next(steps_, limits_.max_steps)) within = Conclude(rule);
  work_.back().steps += steps_ - steps_before;
  return within && steps_ <= limits_.max_steps;
}

// Adds what the rule concludes from one match.
bool Chaining::Conclude(std::size_t rule_index) {
  const Rule& rule = program_.source()[rule_index];
  const CompiledRule& compiled = program_.rules()[rule_index];
  for (std::size_t i = 0; i < compiled.conclusions.size(); ++i) {
    const NumberedConclusion& conclusion = compiled.conclusions[i];
    slots_.clear();
    for (const NumberedTerm& term : conclusion.terms) slots_.push_back(search_.Known(term));
    if (store_.size() >= limits_.max_facts && !store_.FindNumbered(conclusion.relation, slots_)) {
      too_many_facts_ = true;
      return false;
    }
    const auto [fact, is_new] = store_.AddNumbered(conclusion.relation, slots_);
    if (is_new) {
      ++work_.back().new_facts;
      Notice(fact);
    }
    if (recorder_ == nullptr) continue;
    recorder_->Derived({&rule, static_cast<int>(i), fact, is_new, ShowBindings(compiled.variables, search_),
                        PremisesOf(rule.when, search_.facts())});
  }
  return true;
}

void Chaining::Report(Diagnostics& diagnostics) const {
  std::vector<RuleWork> of_rule(program_.source().size());
  for (const RuleWork& work : work_) {
    of_rule[work.rule].new_facts += work.new_facts;
    of_rule[work.rule].steps += work.steps;
  }
  const auto fewer = [this](const RuleWork& a, const RuleWork& b) {
    return too_many_facts_ ? a.new_facts < b.new_facts : a.steps < b.steps;
  };
  const auto worst = std::max_element(of_rule.begin(), of_rule.end(), fewer);
  const Rule& rule = program_.source()[static_cast<std::size_t>(worst - of_rule.begin())];
  const std::string hint = "let its conditions share more variables, or name more of their slots";
  if (too_many_facts_) {
    diagnostics.Error(rule.place, "rulebook-explodes",
                      fmt::format("more than {} facts follow from the rules, {} of them by rule `{}`; {}",
                                  limits_.max_facts, worst->new_facts, rule.id, hint));
  } else {
    diagnostics.Error(
        rule.place, "rulebook-explodes",
        fmt::format("the rules are not done after {} steps, {} of them in rule `{}`; {}", limits_.max_steps,
                    std::min(worst->steps, limits_.max_steps), rule.id, hint));
  }
}

}  // namespace

RuleProgram::RuleProgram(const std::vector<Rule>& rules, FactStore& base)
    : compiled_(std::make_unique<const CompiledRules>(rules, base)) {}
RuleProgram::~RuleProgram() = default;

Chained RuleProgram::Run(FactStore& store, Recorder* recorder, Diagnostics& diagnostics,
                     const ChainLimits& limits) const {
  Chaining chaining(*compiled_, store, recorder, limits);
  const Chained end = chaining.Run();
  if (end == Chained::kLimit) chaining.Report(diagnostics);
  return end;
}

bool Chain(const std::vector<Rule>& rules, FactStore& store, Recorder* recorder, Diagnostics& diagnostics,
           const ChainLimits& limits) {
  return RuleProgram(rules, store).Run(store, recorder, diagnostics, limits) == Chained::kDone;
}

std::vector<Match> FindMatches(const std::vector<Condition>& conditions, const FactStore& store,
                               const Bindings& given) {
  struct Found {
    std::vector<FactId> facts;
    Bindings bindings;
  };
  std::vector<Found> found;
  Query query(conditions, store, given);
  while (query.Next()) found.push_back({query.facts(), query.bindings()});
  std::sort(found.begin(), found.end(), [](const Found& a, const Found& b) { return a.facts < b.facts; });
  std::vector<Match> matches;
  matches.reserve(found.size());
  for (Found& one : found) matches.push_back({std::move(one.bindings), PremisesOf(conditions, one.facts)});
  return matches;
}

Statement Fill(const Pattern& pattern, const Bindings& bindings) {
  Statement statement{pattern.name, {}};
  statement.slots.reserve(pattern.terms.size());
  for (const Term& term : pattern.terms) {
    if (const auto* value = std::get_if<Value>(&term)) {
      statement.slots.push_back(*value);
      continue;
    }
    assert(std::holds_alternative<Variable>(term));
    const std::string& name = std::get<Variable>(term).name;
    const auto binding =
        std::lower_bound(bindings.begin(), bindings.end(), name,
                         [](const Binding& b, const std::string& n) { return b.variable < n; });
    assert(binding != bindings.end() && binding->variable == name);
    statement.slots.push_back(binding->value);
  }
  return statement;
}

}  // namespace gearwhy
