#include "engine/ground/ground.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/ground/repairs.h"

namespace gearwhy {
namespace {

// Of two reports that contradict each other one is wrong: at least so often what is there is missed, and at
// least so often somebody reports what is not.
constexpr double kMissedAfterAll = 0.01;
constexpr double kMistakenAfterAll = 0.02;

EventType TypeOf(const Word& word) {
  switch (word.type) {
    case WordType::kFault:
      return EventType::kFault;
    case WordType::kState:
      return EventType::kState;
    default:
      return EventType::kFinding;
  }
}

void AppendFacts(const std::vector<Premise>& premises, std::vector<FactId>& facts) {
  for (const Premise& premise : premises) {
    if (premise.kind == Condition::Kind::kStatement) facts.push_back(premise.fact);
  }
}

void AddReports(GroundNetwork& ground, const Words& words, const FactStore& store, const ProofBook& proofs,
                const std::vector<Observation>& observations) {
  const Reported reported = ReportedIn(store);
  std::set<FactId> from_case;
  for (std::size_t i = 0; i < observations.size(); ++i) {
    const Observation& observation = observations[i];
    const Sense sense = observation.present ? Sense::kPresent : Sense::kAbsent;
    const FactId fact = store.Find(sense, observation.event).value_or(-1);
    from_case.insert(fact);
    const auto event = ground.index.find(observation.event);
    if (event == ground.index.end()) {
      ground.unknown_observations.push_back(static_cast<int>(i));
      continue;
    }
    const ReportChances chances = WeighReport(words, observation, reported);
    ground.network.reports.push_back(
        {event->second, observation.present, chances.p_if_present, chances.p_if_absent});
    ground.reports.push_back({static_cast<int>(i), fact});
  }
  for (FactId fact = 0; fact < store.size(); ++fact) {
    const StoredFact& stored = store.Get(fact);
    if (stored.sense == Sense::kFact || from_case.contains(fact)) continue;
    const Derivation* derivation = proofs.Find(fact);
    const auto event = ground.index.find(stored.statement);
    if (derivation == nullptr || event == ground.index.end()) continue;
    const Conclusion& conclusion = derivation->rule->then[static_cast<std::size_t>(derivation->conclusion)];
    ground.network.reports.push_back(
        {event->second, stored.sense == Sense::kPresent, conclusion.p_if_present, conclusion.p_if_absent});
    ground.reports.push_back({-1, fact});
  }
}

// Reports of one event that contradict each other are capped, so that neither is taken as certain and the
// chances stay defined.
void SoftenContradictions(GroundNetwork& ground) {
  std::map<int, std::pair<bool, bool>> said;  // by event: present, absent
  for (const Report& report : ground.network.reports) {
    auto& [present, absent] = said[report.event];
    (report.present ? present : absent) = true;
  }
  for (Report& report : ground.network.reports) {
    const auto& [present, absent] = said[report.event];
    if (!present || !absent) continue;
    const ReportChances softened = Softened({report.p_if_present, report.p_if_absent});
    report.p_if_present = softened.p_if_present;
    report.p_if_absent = softened.p_if_absent;
  }
}

class Grounder {
 public:
  Grounder(const Rulebook& book, const FactStore& store, Diagnostics& diagnostics)
      : book_(book), store_(store), diagnostics_(diagnostics) {}

  std::optional<GroundNetwork> Build(const ProofBook& proofs, const std::vector<Observation>& observations) {
    const int errors_before = diagnostics_.error_count();
    for (const Chance& chance : book_.chances) AddFaults(chance);
    AddRepairs();
    std::vector<std::vector<Match>> chart_matches;
    for (const Chart& chart : book_.charts) {
      chart_matches.push_back(FindMatches(chart.when, store_));
      for (const Match& match : chart_matches.back()) AddEffect(chart, match);
    }
    for (std::size_t i = 0; i < book_.charts.size(); ++i) {
      for (const Match& match : chart_matches[i]) AddCauses(book_.charts[i], match);
    }
    CheckUnexplained();
    CheckCircle();
    if (diagnostics_.error_count() > errors_before) return std::nullopt;
    AddReports(ground_, book_.words, store_, proofs, observations);
    SoftenContradictions(ground_);
    return std::move(ground_);
  }

 private:
  // The event's index, made when it is new.
  int EventOf(const Statement& statement) {
    const auto [it, is_new] = ground_.index.emplace(statement, static_cast<int>(ground_.events.size()));
    if (is_new) {
      GroundEvent event;
      event.statement = statement;
      event.word = book_.words.Find(statement.name);
      ground_.network.events.push_back({StatementId(statement), TypeOf(*event.word), 0, {}});
      ground_.events.push_back(std::move(event));
    }
    return it->second;
  }
  GroundEvent& At(int event) { return ground_.events[static_cast<std::size_t>(event)]; }
  Event& NetworkAt(int event) { return ground_.network.events[static_cast<std::size_t>(event)]; }

  void AddFaults(const Chance& chance) {
    for (const Match& match : FindMatches(chance.when, store_)) {
      const int event = EventOf(Fill(chance.fault, match.bindings));
      GroundEvent& fault = At(event);
      if (fault.chance == &chance) continue;  // the same fault by another way of meeting the conditions
      if (fault.chance != nullptr) {
        diagnostics_
            .Error(chance.place, "chance-twice",
                   fmt::format("two lines say how common `{}` is", StatementId(fault.statement)))
            .notes.push_back({fault.chance->place, "the other is here"});
        continue;
      }
      fault.chance = &chance;
      fault.chance_bindings = match.bindings;
      double odds = chance.p_chance / (1 - chance.p_chance);
      for (const OddsFactor& factor : chance.factors) {
        const std::vector<Match> met = FindMatches(factor.when, store_, match.bindings);
        if (met.empty()) continue;
        odds *= factor.odds;
        fault.factors.push_back({&factor, {}});
        AppendFacts(met.front().premises, fault.factors.back().facts);
      }
      NetworkAt(event).p_unexplained = fault.factors.empty() ? chance.p_chance : odds / (1 + odds);
    }
  }

  void AddRepairs() {
    const PartRepairs repairs(book_, store_);
    for (GroundEvent& fault : ground_.events)
      fault.repair = repairs.AccessOf(*fault.word, fault.statement, diagnostics_);
  }

  void AddEffect(const Chart& chart, const Match& match) {
    const Statement statement = Fill(chart.symptom, match.bindings);
    const bool is_fault = book_.words.Find(statement.name)->type == WordType::kFault;
    if (is_fault && !ground_.index.contains(statement)) return;  // this part cannot have it
    const int event = EventOf(statement);
    if (!chart.p_unexplained) return;
    GroundEvent& effect = At(event);
    if (effect.chart != nullptr && effect.chart != &chart) {
      diagnostics_
          .Error(chart.place, "unexplained-twice",
                 fmt::format("two charts say how often `{}` is unexplained", StatementId(statement)))
          .notes.push_back({effect.chart->place, "the other is here"});
      return;
    }
    effect.chart = &chart;
    NetworkAt(event).p_unexplained = *chart.p_unexplained;
  }

  void AddCauses(const Chart& chart, const Match& match) {
    const auto effect = ground_.index.find(Fill(chart.symptom, match.bindings));
    if (effect == ground_.index.end()) return;
    for (const CauseLine& line : chart.causes) {
      for (const Match& line_match : FindMatches(line.when, store_, match.bindings)) {
        const Statement statement = Fill(line.cause, line_match.bindings);
        const auto cause = ground_.index.find(statement);
        if (cause == ground_.index.end()) continue;  // no such thing in this transmission
        GroundEvent& event = At(effect->second);
        const auto [known, is_new] =
            link_of_.emplace(std::pair(effect->second, cause->second), event.links.size());
        if (!is_new) {
          const GroundLink& first = event.links[known->second];
          if (first.line != &line) {
            diagnostics_
                .Error(line.place, "cause-twice",
                       fmt::format("two lines say how often `{}` causes `{}`", StatementId(statement),
                                   StatementId(event.statement)))
                .notes.push_back({first.line->place, "the other is here"});
          }
          continue;
        }
        GroundLink link{&chart, &line, line_match.bindings, {}};
        AppendFacts(match.premises, link.facts);
        AppendFacts(line_match.premises, link.facts);
        event.links.push_back(std::move(link));
        NetworkAt(effect->second).causes.push_back({cause->second, line.p_how_often});
      }
    }
  }

  void CheckUnexplained() {
    for (const GroundEvent& event : ground_.events) {
      if (event.chart != nullptr || event.chance != nullptr || event.links.empty()) continue;
      diagnostics_.Error(
          event.links.front().chart->place, "no-unexplained",
          fmt::format("no chart says how often `{}` is `unexplained`", StatementId(event.statement)));
    }
  }

  void CheckCircle() {
    std::vector<int> cycle;
    if (!CausesFirst(ground_.network, &cycle).empty() || ground_.events.empty()) return;
    // Each event of the cycle is a cause of the next, the last of the first.
    std::string way;
    std::vector<Note> notes;
    for (std::size_t i = 0; i < cycle.size(); ++i) {
      const int cause = cycle[i];
      const int effect = cycle[(i + 1) % cycle.size()];
      way += fmt::format("`{}` -> ", StatementId(At(cause).statement));
      const GroundLink& link = At(effect).links[link_of_.at(std::pair(effect, cause))];
      notes.push_back(
          {link.line->place, fmt::format("`{}` brings about `{}` here", StatementId(At(cause).statement),
                                         StatementId(At(effect).statement))});
    }
    way += fmt::format("`{}`", StatementId(At(cycle.front()).statement));
    const Place place = notes.front().place;
    diagnostics_.Error(place, "causal-cycle", fmt::format("causes run in a circle: {}", way)).notes =
        std::move(notes);
  }

  const Rulebook& book_;
  const FactStore& store_;
  Diagnostics& diagnostics_;
  GroundNetwork ground_;
  std::map<std::pair<int, int>, std::size_t> link_of_;  // (effect, cause) -> index into the effect's links
};

using Relation = std::pair<Sense, std::string_view>;

// What the conditions of charts, chances and repairs ask for.
std::set<Relation> AskedFor(const Rulebook& book) {
  std::set<Relation> asked;
  const auto add = [&](const std::vector<Condition>& when) {
    for (const Condition& condition : when) {
      if (condition.kind != Condition::Kind::kCompare) asked.emplace(condition.sense, condition.pattern.name);
    }
  };
  if (!book.repairs.empty()) asked.emplace(Sense::kFact, "part");
  for (const Repair& repair : book.repairs) add(repair.when);
  for (const Chance& chance : book.chances) {
    add(chance.when);
    for (const OddsFactor& factor : chance.factors) add(factor.when);
  }
  for (const Chart& chart : book.charts) {
    add(chart.when);
    for (const CauseLine& line : chart.causes) add(line.when);
  }
  return asked;
}

// The new number of every fact asked for, by the old one; nothing when they are not the same facts in the
// same order.
std::optional<std::vector<FactId>> Renumbered(const std::set<Relation>& asked, const FactStore& before,
                                              const FactStore& after) {
  std::vector<FactId> renumbered(static_cast<std::size_t>(before.size()), -1);
  for (const auto& [sense, view] : asked) {
    const std::string name(view);
    const std::vector<FactId>& old_facts = before.Named(sense, name);
    const std::vector<FactId>& new_facts = after.Named(sense, name);
    if (old_facts.size() != new_facts.size()) return std::nullopt;
    for (std::size_t i = 0; i < old_facts.size(); ++i) {
      if (before.Get(old_facts[i]).statement != after.Get(new_facts[i]).statement) return std::nullopt;
      renumbered[static_cast<std::size_t>(old_facts[i])] = new_facts[i];
    }
  }
  return renumbered;
}

}  // namespace

Reported ReportedIn(const FactStore& store) {
  return [&store](const Statement& finding) -> std::optional<bool> {
    if (store.Find(Sense::kPresent, finding)) return true;
    if (store.Find(Sense::kAbsent, finding)) return false;
    return std::nullopt;
  };
}

ReportChances WeighReport(const Words& words, const Observation& observation, const Reported& reported) {
  const Trust* trust = words.FindTrust(observation.trust);
  return ChancesOfReport(trust == nullptr ? words.trusts.front() : *trust, observation.present,
                         MissedUnder(words, observation.event, observation.under, reported));
}

ReportChances Softened(const ReportChances& chances) {
  return {std::max(chances.p_if_present, kMissedAfterAll), std::max(chances.p_if_absent, kMistakenAfterAll)};
}

std::optional<int> GroundNetwork::Find(const Statement& statement) const {
  const auto it = index.find(statement);
  return it == index.end() ? std::nullopt : std::optional(it->second);
}

std::optional<GroundNetwork> Ground(const Rulebook& book, const FactStore& store, const ProofBook& proofs,
                                    const std::vector<Observation>& observations, Diagnostics& diagnostics) {
  return Grounder(book, store, diagnostics).Build(proofs, observations);
}

bool GroundAgain(GroundNetwork& ground, const Rulebook& book, const FactStore& before, const FactStore& store,
                 const ProofBook& proofs, const std::vector<Observation>& observations) {
  const std::optional<std::vector<FactId>> renumbered = Renumbered(AskedFor(book), before, store);
  if (!renumbered) return false;
  const auto renumber = [&](std::vector<FactId>& facts) {
    for (FactId& fact : facts) fact = (*renumbered)[static_cast<std::size_t>(fact)];
  };
  for (GroundEvent& event : ground.events) {
    for (AppliedFactor& factor : event.factors) renumber(factor.facts);
    for (GroundLink& link : event.links) renumber(link.facts);
  }
  ground.network.reports.clear();
  ground.reports.clear();
  ground.unknown_observations.clear();
  AddReports(ground, book.words, store, proofs, observations);
  SoftenContradictions(ground);
  return true;
}

}  // namespace gearwhy
