#include "engine/model/needs.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>

namespace gearwhy {
namespace {

using Filling = std::map<std::string, Value>;

// The pattern with its variables filled; nothing when one of them stands for nothing known.
std::optional<Statement> Filled(const Pattern& pattern, const Filling& filling) {
  Statement statement{pattern.name, {}};
  for (const Term& term : pattern.terms) {
    if (const auto* value = std::get_if<Value>(&term)) {
      statement.slots.push_back(*value);
      continue;
    }
    const auto* variable = std::get_if<Variable>(&term);
    const auto it = variable == nullptr ? filling.end() : filling.find(variable->name);
    if (it == filling.end()) return std::nullopt;
    statement.slots.push_back(it->second);
  }
  return statement;
}

// What the pattern's variables stand for in the statement; nothing when it does not fit.
std::optional<Filling> Matched(const Pattern& pattern, const Statement& statement) {
  if (pattern.name != statement.name) return std::nullopt;
  Filling filling;
  for (std::size_t i = 0; i < pattern.terms.size(); ++i) {
    if (const auto* value = std::get_if<Value>(&pattern.terms[i]); value && *value != statement.slots[i])
      return std::nullopt;
    const auto* variable = std::get_if<Variable>(&pattern.terms[i]);
    if (variable == nullptr) continue;
    const auto [it, is_new] = filling.emplace(variable->name, statement.slots[i]);
    if (!is_new && it->second != statement.slots[i]) return std::nullopt;
  }
  return filling;
}

bool SameLook(const Observation& a, const Observation& b) { return a.trust == b.trust && a.under == b.under; }

}  // namespace

std::vector<Implied> NeedsOf(const Words& words, const Statement& finding) {
  std::vector<Implied> needs;
  const Word* word = words.Find(finding.name);
  if (word == nullptr || word->needs.empty()) return needs;
  Filling filling;
  for (std::size_t i = 0; i < word->slots.size(); ++i) filling[word->slots[i].name] = finding.slots[i];
  for (const Need& need : word->needs) {
    if (auto needed = Filled(need.pattern, filling)) needs.push_back({std::move(*needed), need.present});
  }
  return needs;
}

std::vector<Implied> ImpliedBy(const Rulebook& book, const Statement& present) {
  std::vector<Implied> implied = {{present, true}};
  std::set<Statement> done = {present};
  std::vector<Statement> left = {present};
  const auto add = [&](const Statement& finding, bool is_present) {
    implied.push_back({finding, is_present});
    if (is_present && done.insert(finding).second) left.push_back(finding);
  };
  while (!left.empty()) {
    const Statement one = left.back();
    left.pop_back();
    for (const Implied& need : NeedsOf(book.words, one)) add(need.finding, need.present);
    for (const Chart& chart : book.charts) {
      for (const CauseLine& line : chart.causes) {
        if (line.p_how_often < 1) continue;
        const std::optional<Filling> filling = Matched(line.cause, one);
        if (!filling || book.words.Find(chart.symptom.name)->type != WordType::kFinding) continue;
        if (const std::optional<Statement> whole = Filled(chart.symptom, *filling)) add(*whole, true);
      }
    }
  }
  return implied;
}

bool CannotTell(const Words& words, const Statement& finding, const std::vector<Implied>& known) {
  for (const Implied& need : NeedsOf(words, finding)) {
    const bool fails = std::any_of(known.begin(), known.end(), [&](const Implied& k) {
      return k.finding == need.finding && k.present != need.present;
    });
    if (fails || (need.present && CannotTell(words, need.finding, known))) return true;
  }
  return false;
}

void NameContradictions(const Rulebook& book, const std::vector<Observation>& observations,
                        Diagnostics& diagnostics) {
  for (const Observation& report : observations) {
    if (!report.present) continue;
    for (const Implied& implied : ImpliedBy(book, report.event)) {
      if (implied.finding == report.event) continue;
      const auto denied = std::find_if(observations.begin(), observations.end(), [&](const Observation& o) {
        return o.event == implied.finding && o.present != implied.present && SameLook(o, report);
      });
      if (denied == observations.end()) continue;
      diagnostics
          .Error(report.place, "contradiction",
                 fmt::format(
                     "`{}` cannot be {} where `{}` is present; the same source says both. Leave one out, "
                     "or name with `under:` when each was so",
                     StatementId(implied.finding), implied.present ? "absent" : "present",
                     StatementId(report.event)))
          .notes.push_back({denied->place, "it says so here"});
    }
  }
}

}  // namespace gearwhy
