#include "engine/study/lint.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <optional>

#include "engine/chain/chain.h"
#include "engine/study/book_entries.h"
#include "engine/text/at.h"
#include "engine/text/near_names.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

constexpr double kMostMinutes = 600, kMostOdds = 100;  // common practice: more is a slip of the hand

using OnPattern = std::function<void(const std::string& id, const VariableKinds& variables, const Pattern&)>;
using OnConditions =
    std::function<void(const std::string&, const VariableKinds&, const std::vector<Condition>&)>;

// Every pattern of every entry.
void EachPattern(const Rulebook& book, const OnPattern& on) {
  const OnConditions when = [&](const std::string& id, const VariableKinds& variables,
                                const std::vector<Condition>& conditions) {
    for (const Condition& condition : conditions) {
      if (condition.kind != Condition::Kind::kCompare) on(id, variables, condition.pattern);
    }
  };
  for (const Rule& rule : book.rules) {
    when(rule.id, rule.variables, rule.when);
    for (const Conclusion& then : rule.then) on(rule.id, rule.variables, then.pattern);
  }
  for (const Chart& chart : book.charts) {
    when(chart.id, chart.variables, chart.when);
    on(chart.id, chart.variables, chart.symptom);
    for (const CauseLine& line : chart.causes) {
      when(chart.id, chart.variables, line.when);
      on(chart.id, chart.variables, line.cause);
    }
  }
  for (const Chance& chance : book.chances) {
    when(chance.id, chance.variables, chance.when);
    on(chance.id, chance.variables, chance.fault);
    for (const OddsFactor& factor : chance.factors) when(factor.id, chance.variables, factor.when);
  }
  for (const Check& check : book.checks) {
    when(check.id, check.variables, check.when);
    for (const Pattern& tells : check.tells) on(check.id, check.variables, tells);
    for (const Pattern& measures : check.measures) on(check.id, check.variables, measures);
  }
  for (const Decision& decision : book.decisions) {
    when(decision.id, decision.variables, decision.when);
    for (const Pattern& found : decision.found) on(decision.id, decision.variables, found);
  }
}

// The facts that conditions ask for.
std::set<std::string> FactsOf(const std::vector<Condition>& conditions) {
  std::set<std::string> names;
  for (const Condition& condition : conditions) {
    if (condition.kind == Condition::Kind::kStatement && condition.sense == Sense::kFact)
      names.insert(condition.pattern.name);
  }
  return names;
}

}  // namespace

const std::vector<std::string>& LintNames() {
  static const std::vector<std::string> kNames = {
      "plain-letter", "no-part-kind",     "never-applies", "unused-rule",    "untold",     "tells-nothing",
      "said-twice",   "chart-and-factor", "impossible",    "trusted-wholly", "no-because", "out-of-reason"};
  return kNames;
}

void LintSurvey::AddTransmission(const Diagnosis& unobserved, const Diagnosis& all_observed) {
  ++transmissions_;
  if (unobserved.unit != nullptr) {
    has_units_ = true;
    for (const auto& [kind, names] : MembersOf(*unobserved.unit))
      members_[kind].insert(names.begin(), names.end());
  }
  AddNetwork(unobserved);
  AddNetwork(all_observed);
  for (std::size_t i = 0; i < unobserved.ground.network.events.size(); ++i) {
    const Event& event = unobserved.ground.network.events[i];
    const bool never = event.p_unexplained <= 0 && event.causes.empty();
    if (event.type != EventType::kFinding || (!never && event.p_unexplained < 1)) continue;
    impossible_.emplace(
        unobserved.ground.events[i].statement.name,
        fmt::format("`{}` can {} in {}", event.id, never ? "never be so" : "never not be so",
                    unobserved.c->unit.empty() ? "a case without a unit" : unobserved.c->unit));
  }
}

void LintSurvey::AddNetwork(const Diagnosis& diagnosis) {
  for (const GroundEvent& event : diagnosis.ground.events) {
    used_.insert(event.chance);
    for (const GroundLink& link : event.links) {
      used_.insert(link.chart);
      used_.insert(link.line);
    }
  }
  for (const Check& check : book_.checks) {
    for (const CaseFacts& world : diagnosis.worlds) {
      if (!used_.contains(&check) && !FindMatches(check.when, world.store).empty()) used_.insert(&check);
    }
  }
}

// Finds by one lint after the other.
class LintSurvey::Finder {
 public:
  explicit Finder(const LintSurvey& survey) : survey_(survey), book_(survey.book_) {}

  std::vector<Found> Find() {
    if (survey_.has_units_) FindMembers();
    if (survey_.transmissions_ > 0) FindIdle();
    FindUnused();
    FindChecks();
    FindFactors();
    FindTrusts();
    FindReasons();
    for (const auto& [name, how] : survey_.impossible_)
      Add("impossible", name, book_.words.Find(name)->place,
          how + ": a report of it would contradict itself");
    return std::move(found_);
  }

 private:
  void Add(std::string_view lint, const std::string& id, const Place& place, std::string message,
           bool error = false) {
    found_.push_back({lint, id, place, std::move(message), error});
  }

  void FindMembers() {
    EachPattern(book_, [&](const std::string& id, const VariableKinds& variables, const Pattern& pattern) {
      const Word& word = *book_.words.Find(pattern.name);
      for (std::size_t i = 0; i < pattern.terms.size(); ++i) {
        const Value* value = std::get_if<Value>(&pattern.terms[i]);
        const std::string* name = value == nullptr ? nullptr : std::get_if<std::string>(value);
        const auto kind = book_.words.kinds.find(word.slots[i].kind);
        if (name == nullptr || kind == book_.words.kinds.end() || !kind->second.open) continue;
        const auto of = survey_.members_.find(kind->first);
        if (of == survey_.members_.end() || of->second.contains(*name)) continue;
        const std::vector<SpokenName> known(of->second.begin(), of->second.end());
        const bool dollar = variables.contains(*name) || name->size() == 1;
        std::string spoken = kind->first;
        std::replace(spoken.begin(), spoken.end(), '_', ' ');
        Add(kind->first == "part_kind" ? "no-part-kind" : "plain-letter", id, pattern.place,
            fmt::format("no unit has a {} called {}{}", spoken, InTicks(*name),
                        dollar ? fmt::format("; was `${}` meant?", *name) : SpokenHint(*name, known)),
            true);
      }
    });
  }

  void FindIdle() {
    const auto idle = [&](const void* entry, const std::string& explained) {
      return explained.empty() && !survey_.used_.contains(entry);
    };
    for (const Chart& chart : book_.charts) {
      const bool whole = idle(&chart, chart.gap_because);
      if (whole)
        Add("never-applies", chart.id, chart.place,
            fmt::format("the chart `{}` applies in no unit", chart.id));
      for (const CauseLine& line : chart.causes) {
        if (!whole && chart.gap_because.empty() && idle(&line, line.gap_because))
          Add("never-applies", chart.id, line.place,
              fmt::format("the line of `{}` in the chart `{}` applies in no unit", line.cause.name,
                          chart.id));
      }
    }
    for (const Chance& chance : book_.chances) {
      const Word* fault = book_.words.Find(chance.fault.name);
      if (idle(&chance, chance.gap_because) && fault->gap_because.empty())
        Add("never-applies", chance.id, chance.place,
            fmt::format("the chance `{}` applies in no unit", chance.id));
    }
    for (const Check& check : book_.checks) {
      if (idle(&check, check.gap_because))
        Add("never-applies", check.id, check.place,
            fmt::format("the check `{}` applies in no unit", check.id));
    }
  }

  void FindUnused() {
    const std::vector<BookEntry> entries = EntriesOf(book_);
    std::set<std::string> asked, told;
    for (const BookEntry& entry : entries) {
      const bool concludes = entry.key == "rules";
      for (const std::string& name : entry.names) {
        const bool is_own = concludes && std::binary_search(entry.about.begin(), entry.about.end(), name);
        if (!is_own) asked.insert(name);
      }
      const bool tells = concludes || entry.key == "checks" || entry.key == "measurements";
      if (tells) told.insert(entry.about.begin(), entry.about.end());
    }
    for (const Sayings::Called& called : book_.words.sayings.called) asked.insert(called.fact);
    for (const Rule& rule : book_.rules) {
      const bool is_used = std::any_of(rule.then.begin(), rule.then.end(), [&](const Conclusion& then) {
        const Word& word = *book_.words.Find(then.pattern.name);
        return then.sense != Sense::kFact || asked.contains(word.name) || word.every_part || word.renews;
      });
      if (!is_used && rule.gap_because.empty())
        Add("unused-rule", rule.id, rule.place,
            fmt::format("nothing asks for what the rule `{}` concludes, `{}`", rule.id,
                        rule.then[0].pattern.name));
    }
    for (const auto& [name, word] : book_.words.words) {
      if (word.type != WordType::kFinding || told.contains(name) || !word.ask.empty() ||
          !word.gap_because.empty())
        continue;
      Add("untold", name, word.place,
          fmt::format("no check tells the finding `{}`, and no customer would", name));
    }
  }

  // Whether one finding is no more than a case of the other.
  bool IsCaseOf(const std::string& one, const std::string& other) const {
    for (const Chart& chart : book_.charts) {
      if (chart.symptom.name != other) continue;
      for (const CauseLine& line : chart.causes) {
        if (line.cause.name == one && line.p_how_often >= 1) return true;
      }
    }
    return false;
  }

  void FindChecks() {
    for (const Check& check : book_.checks) {
      if (check.tells.empty() && check.measures.empty())
        Add("tells-nothing", check.id, check.place, fmt::format("the check `{}` tells no finding", check.id));
      if (check.minutes > kMostMinutes)
        Add("out-of-reason", check.id, check.place,
            fmt::format("{} minutes are more than ten hours", check.minutes));
      for (std::size_t i = 1; i < check.tells.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) CheckPair(check, check.tells[j], check.tells[i]);
      }
    }
  }

  void CheckPair(const Check& check, const Pattern& one, const Pattern& other) {
    if (one.name == other.name && one.terms == other.terms) {
      Add("said-twice", check.id, other.place, fmt::format("`{}` stands twice in `tells`", one.name));
    } else if (IsCaseOf(one.name, other.name) || IsCaseOf(other.name, one.name)) {
      Add("said-twice", check.id, other.place,
          fmt::format("of `{}` and `{}` one is always so when the other is: ticking one denies the other",
                      one.name, other.name));
    }
  }

  void FindFactors() {
    for (const Chance& chance : book_.chances) {
      const std::set<std::string> own = FactsOf(chance.when);
      for (const OddsFactor& factor : chance.factors) {
        if (factor.odds > kMostOdds || factor.odds < 1 / kMostOdds)
          Add("out-of-reason", factor.id, factor.place,
              fmt::format("odds of {} settle the fault by themselves", factor.odds));
        for (const std::string& fact : FactsOf(factor.when)) {
          if (!own.contains(fact)) CheckFactor(chance, factor, fact);
        }
      }
    }
  }

  // Facts of how a unit is built stand in the conditions of both, and say nothing twice.
  void CheckFactor(const Chance& chance, const OddsFactor& factor, const std::string& fact) {
    const Word& word = *book_.words.Find(fact);
    if (!word.history && !word.slots.empty()) return;
    for (const Chart& chart : book_.charts) {
      if (chart.symptom.name != chance.fault.name) continue;
      for (const CauseLine& line : chart.causes) {
        if (!FactsOf(line.when).contains(fact)) continue;
        Add("chart-and-factor", factor.id, factor.place,
            fmt::format("`{}` raises `{}` here, and brings it about in the chart `{}`: it counts twice", fact,
                        chance.fault.name, chart.id));
      }
    }
  }

  void FindTrusts() {
    for (const Trust& trust : book_.words.trusts) {
      if (!trust.place.IsSomewhere() || (trust.p_noticed < 1 && trust.p_mistaken > 0)) continue;
      Add("trusted-wholly", trust.name, trust.place,
          fmt::format("by `{}` nothing is {}: two reports could contradict each other for good", trust.name,
                      trust.p_noticed >= 1 ? "missed" : "mistaken"));
    }
  }

  void FindReasons() {
    const auto check = [&](const char* kind, const std::string& id, const Place& place,
                           const std::string& because) {
      if (because.empty())
        Add("no-because", id, place, fmt::format("the {} `{}` gives no `because`", kind, id));
    };
    for (const Rule& rule : book_.rules) {
      // What only names what the facts are already explains itself.
      const bool reports = std::any_of(rule.then.begin(), rule.then.end(), [](const Conclusion& conclusion) {
        return conclusion.sense != Sense::kFact;
      });
      if (reports) check("rule", rule.id, rule.place, rule.because);
    }
    for (const Chance& chance : book_.chances) check("chance", chance.id, chance.place, chance.because);
    for (const Decision& decision : book_.decisions)
      check("decision", decision.id, decision.place, decision.because);
    for (const Chart& chart : book_.charts) {
      const bool any = std::any_of(chart.causes.begin(), chart.causes.end(),
                                   [](const CauseLine& line) { return !line.because.empty(); });
      check("chart", chart.id, chart.place, any ? "in its lines" : chart.because);
    }
  }

  const LintSurvey& survey_;
  const Rulebook& book_;
  std::vector<Found> found_;
};

void LintSurvey::Report(Diagnostics& diagnostics) const {
  std::vector<char> used(book_.lint_off.size(), 0);
  const auto is_off = [&](const Found& found) {
    bool off = false;
    for (std::size_t i = 0; i < book_.lint_off.size(); ++i) {
      const LintSwitch& one = book_.lint_off[i];
      if (one.lint != found.lint) continue;
      if (!one.at.empty() && std::find(one.at.begin(), one.at.end(), found.id) == one.at.end()) continue;
      used[i] = 1;
      off = true;
    }
    return off;
  };
  for (const Found& found : Finder(*this).Find()) {
    if (is_off(found)) continue;
    if (found.is_error) {
      diagnostics.Error(found.place, std::string(found.lint), found.message);
    } else {
      diagnostics.Warning(found.place, std::string(found.lint), found.message);
    }
  }
  for (std::size_t i = 0; i < used.size(); ++i) {
    const LintSwitch& one = book_.lint_off[i];
    const auto& names = LintNames();
    if (std::find(names.begin(), names.end(), one.lint) == names.end()) {
      diagnostics.Error(
          one.place, "unknown-lint",
          fmt::format("there is no lint called {}{}", InTicks(one.lint), Hint(one.lint, names, 12)));
    } else if (used[i] == 0) {
      diagnostics.Warning(
          one.place, "needless-switch",
          fmt::format("there is nothing that `{}` would point out here; take it out", one.lint));
    }
  }
}

}  // namespace gearwhy
