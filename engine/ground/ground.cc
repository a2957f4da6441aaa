#include "engine/ground/ground.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <map>
#include <set>

#include "engine/ground/repairs.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// Of two reports that contradict each other one is wrong, also of those that are never taken to be: so often
// what is there is missed after all, and so often somebody reports what is not.
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

// Of reports of one event that contradict each other none is certain, so that the chances stay defined.
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

// The factors whose conditions hold for a fault.
std::vector<AppliedFactor> FactorsMet(const Chance& chance, const Bindings& bindings,
                                      const FactStore& store) {
  std::vector<AppliedFactor> factors;
  for (const OddsFactor& factor : chance.factors) {
    const std::vector<Match> met = FindMatches(factor.when, store, bindings);
    if (met.empty()) continue;
    factors.push_back({&factor, {}});
    AppendFacts(met.front().premises, factors.back().facts);
  }
  return factors;
}

double ChanceWith(const Chance& chance, const std::vector<AppliedFactor>& factors) {
  if (factors.empty()) return chance.p_chance;
  double odds = chance.p_chance / (1 - chance.p_chance);
  for (const AppliedFactor& applied : factors) odds *= applied.factor->odds;
  return odds / (1 + odds);
}

class Grounder {
 public:
  Grounder(const Rulebook& book, const FactStore& store, Diagnostics& diagnostics)
      : book_(book), store_(store), diagnostics_(diagnostics) {}

  std::optional<GroundNetwork> Build() {
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
    ground_.events = GroundNetwork::Events(std::move(events_));
    ground_.common = std::make_shared<const HowCommon>(ground_.network);
    return std::move(ground_);
  }

 private:
  // The event's index, made when it is new.
  int EventOf(const Statement& statement) {
    const auto [it, is_new] = events_.index.emplace(statement, static_cast<int>(events_.all.size()));
    if (is_new) {
      GroundEvent event;
      event.statement = statement;
      event.word = book_.words.Find(statement.name);
      ground_.network.events.push_back({StatementId(statement), TypeOf(*event.word), 0, {}});
      events_.all.push_back(std::move(event));
    }
    return it->second;
  }
  GroundEvent& GroundAt(int event) { return events_.all[At(event)]; }
  Event& NetworkAt(int event) { return ground_.network.events[At(event)]; }

  void AddFaults(const Chance& chance) {
    for (const Match& match : FindMatches(chance.when, store_)) {
      const int event = EventOf(Fill(chance.fault, match.bindings));
      GroundEvent& fault = GroundAt(event);
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
      fault.factors = FactorsMet(chance, match.bindings, store_);
      NetworkAt(event).p_unexplained = ChanceWith(chance, fault.factors);
    }
  }

  void AddRepairs() {
    const PartRepairs repairs(book_, store_);
    for (GroundEvent& fault : events_.all)
      fault.repair = repairs.AccessOf(*fault.word, fault.statement, diagnostics_);
  }

  void AddEffect(const Chart& chart, const Match& match) {
    const Statement statement = Fill(chart.symptom, match.bindings);
    const bool is_fault = book_.words.Find(statement.name)->type == WordType::kFault;
    if (is_fault && !events_.index.contains(statement)) return;  // this part cannot have it
    const int event = EventOf(statement);
    if (!chart.p_unexplained) return;
    GroundEvent& effect = GroundAt(event);
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
    const auto effect = events_.index.find(Fill(chart.symptom, match.bindings));
    if (effect == events_.index.end()) return;
    for (const CauseLine& line : chart.causes) {
      for (const Match& line_match : FindMatches(line.when, store_, match.bindings)) {
        const Statement statement = Fill(line.cause, line_match.bindings);
        const auto cause = events_.index.find(statement);
        if (cause == events_.index.end()) continue;  // no such thing in this transmission
        GroundEvent& event = GroundAt(effect->second);
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
    for (const GroundEvent& event : events_.all) {
      if (event.chart != nullptr || event.chance != nullptr || event.links.empty()) continue;
      diagnostics_.Error(
          event.links.front().chart->place, "no-unexplained",
          fmt::format("no chart says how often `{}` is `unexplained`", StatementId(event.statement)));
    }
  }

  void CheckCircle() {
    std::vector<int> cycle;
    if (!CausesFirst(ground_.network, &cycle).empty() || events_.all.empty()) return;
    // Each event of the cycle is a cause of the next, the last of the first.
    std::string way;
    std::vector<Note> notes;
    for (std::size_t i = 0; i < cycle.size(); ++i) {
      const int cause = cycle[i];
      const int effect = cycle[(i + 1) % cycle.size()];
      way += fmt::format("`{}` -> ", StatementId(GroundAt(cause).statement));
      const GroundLink& link = GroundAt(effect).links[link_of_.at(std::pair(effect, cause))];
      notes.push_back({link.line->place,
                       fmt::format("`{}` brings about `{}` here", StatementId(GroundAt(cause).statement),
                                   StatementId(GroundAt(effect).statement))});
    }
    way += fmt::format("`{}`", StatementId(GroundAt(cycle.front()).statement));
    const Place place = notes.front().place;
    diagnostics_.Error(place, "causal-cycle", fmt::format("causes run in a circle: {}", way)).notes =
        std::move(notes);
  }

  const Rulebook& book_;
  const FactStore& store_;
  Diagnostics& diagnostics_;
  GroundNetwork ground_;
  GroundEvents events_;
  std::map<std::pair<int, int>, std::size_t> link_of_;  // (effect, cause) -> index into the effect's links
};

// Adds what the conditions ask for.
void Ask(const std::vector<Condition>& when, std::set<Relation>& asked) {
  for (const Condition& condition : when) {
    if (condition.kind != Condition::Kind::kCompare) asked.emplace(condition.sense, condition.pattern.name);
  }
}

}  // namespace

Reported ReportedIn(const FactStore& store) {
  return [&store](const Statement& finding) -> std::optional<bool> {
    if (store.Find(Sense::kPresent, finding)) return true;
    if (store.Find(Sense::kAbsent, finding)) return false;
    return std::nullopt;
  };
}

ReportChances WeighReport(const Words& words, const Observation& observation, double p_common,
                          const Reported& reported) {
  const Trust* trust = words.FindTrust(observation.trust);
  return ChancesOfReport(trust == nullptr ? words.trusts.front() : *trust, p_common, observation.present,
                         MissedUnder(words, observation.event, observation.under, reported));
}

ReportChances Softened(const ReportChances& chances) {
  return {chances.p_if_present > 0 ? chances.p_if_present : kMissedAfterAll,
          chances.p_if_absent > 0 ? chances.p_if_absent : kMistakenAfterAll};
}

std::optional<int> GroundNetwork::Find(const Statement& statement) const {
  const auto it = events.shared_->index.find(statement);
  return it == events.shared_->index.end() ? std::nullopt : std::optional(it->second);
}

const std::vector<AppliedFactor>& GroundNetwork::FactorsOf(int event) const {
  const auto it = moved.find(event);
  return it == moved.end() ? events[At(event)].factors : it->second;
}

std::optional<GroundNetwork> Ground(const Rulebook& book, const FactStore& store, Diagnostics& diagnostics) {
  return Grounder(book, store, diagnostics).Build();
}

AskedRelations AskedBy(const Rulebook& book) {
  AskedRelations asked;
  if (!book.repairs.empty()) asked.structure.emplace(Sense::kFact, "part");
  for (const Repair& repair : book.repairs) Ask(repair.when, asked.structure);
  for (const Chance& chance : book.chances) {
    Ask(chance.when, asked.structure);
    for (const OddsFactor& factor : chance.factors) Ask(factor.when, asked.factors);
  }
  for (const Chart& chart : book.charts) {
    Ask(chart.when, asked.structure);
    for (const CauseLine& line : chart.causes) Ask(line.when, asked.structure);
  }
  return asked;
}

bool AddsAny(const FactStore& store, const std::set<Relation>& relations) {
  for (FactId fact = store.base_size(); fact < store.size(); ++fact) {
    if (relations.contains(store.RelationOf(fact))) return true;
  }
  return false;
}

void TakeHowCommonBy(const FactStore& lasting, GroundNetwork& ground) {
  Network network = ground.network;
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    const GroundEvent& fault = ground.events[i];
    if (fault.chance == nullptr) continue;
    const std::vector<AppliedFactor> factors = FactorsMet(*fault.chance, fault.chance_bindings, lasting);
    network.events[i].p_unexplained = ChanceWith(*fault.chance, factors);
  }
  ground.common = std::make_shared<const HowCommon>(std::move(network));
}

void MoveChances(GroundNetwork& ground, const FactStore& store) {
  std::set<Relation> added;
  for (FactId fact = store.base_size(); fact < store.size(); ++fact) added.insert(store.RelationOf(fact));
  const auto may_move = [&](const OddsFactor& factor) {
    return std::any_of(factor.when.begin(), factor.when.end(), [&](const Condition& condition) {
      return condition.kind != Condition::Kind::kCompare &&
             added.contains({condition.sense, condition.pattern.name});
    });
  };
  std::map<const Chance*, bool> moves;  // looked up only
  for (std::size_t i = 0; i < ground.events.size(); ++i) {
    const GroundEvent& fault = ground.events[i];
    if (fault.chance == nullptr) continue;
    const auto [it, is_new] = moves.emplace(fault.chance, false);
    if (is_new)
      it->second = std::any_of(fault.chance->factors.begin(), fault.chance->factors.end(), may_move);
    if (!it->second) continue;
    std::vector<AppliedFactor> factors = FactorsMet(*fault.chance, fault.chance_bindings, store);
    ground.network.events[i].p_unexplained = ChanceWith(*fault.chance, factors);
    ground.moved[static_cast<int>(i)] = std::move(factors);
  }
}

namespace {

// Near a limit a reading says little of what lies beyond it, and says it with its doubt.
void AddReadings(GroundNetwork& ground, const Rulebook& book, const CaseReports& told,
                 const GroundNetwork* whole, const std::function<double(int, const Statement&)>& how_common) {
  for (std::size_t r = 0; r < told.readings.size(); ++r) {
    const JudgedReading& reading = told.readings[r];
    if (reading.as_built) continue;
    for (std::size_t l = 0; l < reading.limits.size(); ++l) {
      const AgainstLimit& against = reading.limits[l];
      const std::optional<int> event = against.finding ? ground.Find(*against.finding) : std::nullopt;
      if (!event) continue;
      const ReportChances chances =
          WeighReading(book, reading, against, how_common(*event, *against.finding), whole != nullptr);
      const bool present = chances.p_if_present > chances.p_if_absent;
      const bool observed = std::any_of(
          told.observations.begin(), told.observations.end(), [&](const Observation& observation) {
            return observation.event == *against.finding && observation.present == present;
          });
      if (observed) continue;  // the same was told in words
      ground.network.reports.push_back({*event, present, chances.p_if_present, chances.p_if_absent});
      GroundReport report;
      report.reading = static_cast<int>(r);
      report.limit = static_cast<int>(l);
      ground.reports.push_back(report);
    }
  }
}

}  // namespace

void AddReports(GroundNetwork& ground, const Rulebook& book, const CaseReports& told,
                const GroundNetwork* whole) {
  const Words& words = book.words;
  const auto& [store, proofs, observations, readings] = told;
  const Reported reported = ReportedIn(store);
  std::vector<Statement> present;
  for (const Observation& observation : observations) {
    if (observation.present) present.push_back(observation.event);
  }
  const auto reported_absent = [&](const Statement& event) {
    return store.Find(Sense::kAbsent, event).has_value();
  };
  const auto how_common = [&](int event, const Statement& statement) {
    return whole == nullptr ? ground.common->Of(event) : whole->common->Of(*whole->Find(statement));
  };
  std::set<FactId> from_case;
  for (std::size_t i = 0; i < observations.size(); ++i) {
    const Observation& observation = observations[i];
    const Sense sense = observation.present ? Sense::kPresent : Sense::kAbsent;
    const FactId fact = store.Find(sense, observation.event).value_or(-1);
    from_case.insert(fact);
    const std::optional<int> event = ground.Find(observation.event);
    if (!event) {
      ground.unknown_observations.push_back(static_cast<int>(i));
      continue;
    }
    if (observation.present && TellsOfNothing(words, observation.event, present, reported_absent)) continue;
    const ReportChances chances =
        WeighReport(words, observation, how_common(*event, observation.event), reported);
    ground.network.reports.push_back(
        {*event, observation.present, chances.p_if_present, chances.p_if_absent});
    ground.reports.push_back({static_cast<int>(i), fact, nullptr, -1});
  }
  for (FactId fact = 0; fact < store.size(); ++fact) {
    if (store.RelationOf(fact).first == Sense::kFact || from_case.contains(fact)) continue;
    const Derivation* derivation = proofs.Find(fact);
    const StoredFact stored = store.Get(fact);
    const std::optional<int> event = ground.Find(stored.statement);
    if (derivation == nullptr || !event) continue;
    const Conclusion& conclusion = derivation->rule->then[At(derivation->conclusion)];
    const bool present = stored.sense == Sense::kPresent;
    const ReportChances chances =
        ChancesOfReport(*words.FindTrust(conclusion.trust), how_common(*event, stored.statement), present);
    ground.network.reports.push_back({*event, present, chances.p_if_present, chances.p_if_absent});
    ground.reports.push_back({-1, fact, nullptr, -1});
  }
  AddReadings(ground, book, told, whole, how_common);
  SoftenContradictions(ground);
}

}  // namespace gearwhy
