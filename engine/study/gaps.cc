#include "engine/study/gaps.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/advise/confirm.h"
#include "engine/explain/part_decisions.h"
#include "engine/ground/repairs.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// For each event whether a fault stands behind it, and whether a finding lies ahead.
struct Ways {
  std::vector<char> from_fault, to_finding;
};

Ways FindWays(const Network& network) {
  const std::size_t size = network.events.size();
  Ways ways{std::vector<char>(size, 0), std::vector<char>(size, 0)};
  const std::vector<int> order = CausesFirst(network);
  for (const int event : order) {
    const Event& e = network.events[At(event)];
    bool from_fault = e.type == EventType::kFault;
    for (const Cause& cause : e.causes)
      from_fault |= cause.p_how_often > 0 && ways.from_fault[At(cause.event)] != 0;
    ways.from_fault[At(event)] = from_fault;
  }
  for (auto it = order.rbegin(); it != order.rend(); ++it) {
    const Event& e = network.events[At(*it)];
    if (e.type == EventType::kFinding) ways.to_finding[At(*it)] = 1;
    if (ways.to_finding[At(*it)] == 0) continue;
    for (const Cause& cause : e.causes) {
      if (cause.p_how_often > 0) ways.to_finding[At(cause.event)] = 1;
    }
  }
  return ways;
}

// The causes that bring a finding about usually or more often.
std::set<int> MainCauses(const Event& finding) {
  std::set<int> causes;
  for (const Cause& cause : finding.causes) {
    if (cause.p_how_often >= kUsually) causes.insert(cause.event);
  }
  return causes;
}

// Whether the same causes bring two findings about usually, or one fault does so with both.
bool Alike(const Network& network, int one, int other) {
  const std::set<int> causes = MainCauses(network.events[At(one)]);
  const std::set<int> others = MainCauses(network.events[At(other)]);
  if (causes.empty()) return false;
  return causes == others || std::any_of(causes.begin(), causes.end(), [&](int cause) {
           return network.events[At(cause)].type == EventType::kFault && others.contains(cause);
         });
}

}  // namespace

std::string_view GapKindName(GapKind kind) {
  switch (kind) {
    case GapKind::kFaultNowhere:
      return "fault-nowhere";
    case GapKind::kFaultUnseen:
      return "fault-unseen";
    case GapKind::kFaultWithoutLook:
      return "fault-without-look";
    case GapKind::kFindingUnexplained:
      return "finding-unexplained";
    case GapKind::kCheckNowhere:
      return "check-nowhere";
    case GapKind::kCheckTellsNothing:
      return "check-tells-nothing";
    case GapKind::kChartNowhere:
      return "chart-nowhere";
    case GapKind::kLineNowhere:
      return "line-nowhere";
    case GapKind::kChanceNowhere:
      return "chance-nowhere";
    case GapKind::kRepairNowhere:
      return "repair-nowhere";
    case GapKind::kRepairBesideKind:
      return "repair-beside-kind";
    case GapKind::kLookBesideRepair:
      return "look-beside-repair";
    case GapKind::kAnswersAlike:
      return "answers-alike";
    case GapKind::kPartUndecided:
      return "part-undecided";
    case GapKind::kRuleSilent:
      return "rule-silent";
    case GapKind::kDecisionSilent:
      return "decision-silent";
  }
  return "";
}

std::string_view GapKindSays(GapKind kind) {
  switch (kind) {
    case GapKind::kFaultNowhere:
      return "Faults that no part of any unit can have";
    case GapKind::kFaultUnseen:
      return "Faults that no finding reveals";
    case GapKind::kFaultWithoutLook:
      return "Faults that no check shows directly in some unit";
    case GapKind::kFindingUnexplained:
      return "Findings that no fault explains";
    case GapKind::kCheckNowhere:
      return "Checks that apply to no unit";
    case GapKind::kCheckTellsNothing:
      return "Checks that tell nothing about any fault";
    case GapKind::kChartNowhere:
      return "Charts that apply to no unit";
    case GapKind::kLineNowhere:
      return "Lines of charts that apply to no unit";
    case GapKind::kChanceNowhere:
      return "Chances that apply to no unit";
    case GapKind::kRepairNowhere:
      return "Repairs that apply to no part of any unit";
    case GapKind::kRepairBesideKind:
      return "Faults that need other access than their kind of part";
    case GapKind::kLookBesideRepair:
      return "Checks that show a fault with other access than its repair needs";
    case GapKind::kAnswersAlike:
      return "Answers of one check that have the same causes";
    case GapKind::kPartUndecided:
      return "Parts of which no decision says what becomes of them";
    case GapKind::kRuleSilent:
      return "Rules that follow in no case";
    case GapKind::kDecisionSilent:
      return "Decisions that follow in no case";
  }
  return "";
}

bool GapReport::AllExplained() const {
  return std::all_of(gaps.begin(), gaps.end(), [](const Gap& gap) { return !gap.because.empty(); });
}

Case EverythingObserved(const Diagnosis& unobserved) {
  Case c = *unobserved.c;
  for (const GroundEvent& event : unobserved.ground.events) {
    if (event.word->type != WordType::kFinding) continue;
    for (const bool present : {true, false}) {
      Observation observation;
      observation.event = event.statement;
      observation.present = present;
      c.observations.push_back(std::move(observation));
    }
  }
  return c;
}

void GapSurvey::AddTransmission(const Diagnosis& unobserved, const Diagnosis& all_observed) {
  ++transmissions_;
  AddNetwork(unobserved);
  AddLooks(unobserved);
  AddRepairs(unobserved);
  AddAnswersAlike(unobserved);
  AddUndecidedParts(unobserved);
  AddNetwork(all_observed);
}

void GapSurvey::AddNetwork(const Diagnosis& diagnosis) {
  const Network& network = diagnosis.ground.network;
  const Ways ways = FindWays(network);
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    const GroundEvent& event = diagnosis.ground.events[i];
    const std::string& name = event.statement.name;
    if (event.word->type == WordType::kFault) {
      faults_.insert(name);
      used_.insert(event.chance);
      if (ways.to_finding[i] != 0) seen_faults_.insert(name);
    } else if (event.word->type == WordType::kFinding && ways.from_fault[i] != 0) {
      explained_findings_.insert(name);
    }
    for (const GroundLink& link : event.links) {
      used_.insert(link.chart);
      used_.insert(link.line);
    }
  }
  for (const Check& check : book_.checks) {
    if (telling_.contains(&check)) continue;
    for (const CaseFacts& world : diagnosis.worlds) {
      for (const Match& match : FindMatches(check.when, world.store)) {
        used_.insert(&check);
        for (const Pattern& tells : check.tells) {
          const auto event = diagnosis.ground.Find(Fill(tells, match.bindings));
          if (event && ways.from_fault[At(*event)] != 0) telling_.insert(&check);
        }
      }
    }
  }
}

void GapSurvey::AddLooks(const Diagnosis& unobserved) {
  const auto& trusts = book_.words.trusts;
  if (std::none_of(trusts.begin(), trusts.end(), [](const Trust& trust) { return trust.direct; })) return;
  const Network& network = unobserved.ground.network;
  std::vector<char> shown(network.events.size(), 0);
  const std::vector<GroundCheck> checks = GroundChecksOf(unobserved);
  const Confirmation confirmation(book_.words, network, checks);
  for (const Look& look : confirmation.looks()) {
    const Check& check = *checks[look.check].check;
    for (const Sight& sight : look.sights) {
      shown[At(sight.fault)] = 1;
      const GroundEvent& fault = unobserved.ground.events[At(sight.fault)];
      if (!fault.repair.empty() && fault.repair != check.access)
        looks_beside_[check.id].insert(fault.statement.name);
    }
  }
  for (std::size_t i = 0; i < shown.size(); ++i) {
    if (network.events[i].type == EventType::kFault && shown[i] == 0)
      faults_without_look_.insert(unobserved.ground.events[i].statement.name);
  }
}

void GapSurvey::AddRepairs(const Diagnosis& unobserved) {
  Diagnostics reported;  // when the network was made
  for (const CaseFacts& world : unobserved.worlds) {
    const PartRepairs repairs(book_, world.store);
    for (const GroundEvent& event : unobserved.ground.events) {
      if (event.word->type != WordType::kFault) continue;
      const Repair* line = repairs.LineOf(*event.word, event.statement, reported);
      if (line == nullptr) continue;
      used_.insert(line);
      if (!event.word->repair.empty()) own_repairs_[event.word->name] |= line->access != event.word->repair;
    }
  }
}

void GapSurvey::AddAnswersAlike(const Diagnosis& unobserved) {
  const GroundNetwork& ground = unobserved.ground;
  for (const GroundCheck& check : GroundChecksOf(unobserved)) {
    for (std::size_t b = 1; b < check.findings.size(); ++b) {
      for (std::size_t a = 0; a < b; ++a) {
        const int one = check.findings[a];
        const int other = check.findings[b];
        if (ground.events[At(one)].word == ground.events[At(other)].word) continue;
        if (!Alike(ground.network, one, other)) continue;
        alike_[check.check->id].insert(ground.events[At(one)].statement.name + "+" +
                                       ground.events[At(other)].statement.name);
      }
    }
  }
}

void GapSurvey::AddUndecidedParts(const Diagnosis& unobserved) {
  if (book_.decisions.empty() || unobserved.unit == nullptr) return;
  std::set<std::string> decided;
  for (const PartDecision& decision : DecideParts(unobserved)) decided.insert(decision.part);
  for (const Part& part : unobserved.unit->parts) {
    const bool in_variant =
        std::any_of(unobserved.worlds.begin(), unobserved.worlds.end(), [&](const CaseFacts& world) {
          return world.store.Find(Sense::kFact, {"part", {part.id, part.kind}}).has_value();
        });
    if (in_variant && !decided.contains(part.id))
      undecided_.emplace(fmt::format("{}:{}", unobserved.c->unit, part.id), part.place);
  }
}

void GapSurvey::AddCase(const Diagnosis& diagnosis) {
  ++cases_;
  for (const CaseFacts& world : diagnosis.worlds) {
    for (const Rule& rule : book_.rules) {
      if (!used_.contains(&rule) && !FindMatches(rule.when, world.store).empty()) used_.insert(&rule);
    }
    for (const Decision& decision : book_.decisions) {
      if (!used_.contains(&decision) && !MatchesOf(decision, world.store).empty()) used_.insert(&decision);
    }
  }
}

std::vector<std::pair<GapKind, std::string>> GapSurvey::GapsOf(const Check& check) const {
  std::vector<std::pair<GapKind, std::string>> found;
  if (!telling_.contains(&check)) {
    found.emplace_back(used_.contains(&check) ? GapKind::kCheckTellsNothing : GapKind::kCheckNowhere,
                       check.id);
  }
  const auto each = [&](GapKind kind, const std::map<std::string, std::set<std::string>>& of) {
    const auto names = of.find(check.id);
    if (names == of.end()) return;
    for (const std::string& name : names->second)
      found.emplace_back(kind, fmt::format("{}:{}", check.id, name));
  };
  each(GapKind::kLookBesideRepair, looks_beside_);
  each(GapKind::kAnswersAlike, alike_);
  return found;
}

// Notes whether an entry is a gap; an explanation of something that is none is out of date.
struct GapSurvey::Judge {
  const Sources& sources;
  Diagnostics& diagnostics;
  std::vector<Gap>& gaps;

  void operator()(bool is_gap, GapKind kind, const std::string& id, const Place& place,
                  const std::string& because) {
    if (is_gap) {
      gaps.push_back({kind, id, sources.Describe(place), because});
    } else if (!because.empty()) {
      diagnostics.Error(place, "stale-gap",
                        fmt::format("`{}` says why it is a gap, but it is none; take `gap_because` out", id));
    }
  }
};

void GapSurvey::JudgeWords(Judge& judge) const {
  for (const auto& [name, word] : book_.words.words) {
    if (word.type == WordType::kFault) {
      const bool unseen = !seen_faults_.contains(name);
      const GapKind kind = !faults_.contains(name) ? GapKind::kFaultNowhere
                           : unseen                ? GapKind::kFaultUnseen
                                                   : GapKind::kFaultWithoutLook;
      judge(unseen || faults_without_look_.contains(name), kind, name, word.place, word.gap_because);
    } else if (word.type == WordType::kFinding) {
      judge(!explained_findings_.contains(name), GapKind::kFindingUnexplained, name, word.place,
            word.gap_because);
    }
  }
  for (const auto& [name, differs] : own_repairs_) {
    const Word& word = book_.words.words.at(name);
    if (differs) {
      judge(true, GapKind::kRepairBesideKind, name, word.place, word.repair_because);
    } else {
      judge.diagnostics.Error(
          word.place, "stale-repair",
          fmt::format("`{}` says the `repair` of its kind of part once more; take it out", name));
    }
  }
}

void GapSurvey::JudgeEntries(Judge& judge) const {
  for (const Repair& repair : book_.repairs) {
    judge(!used_.contains(&repair), GapKind::kRepairNowhere, repair.part_kind, repair.place,
          repair.gap_because);
  }
  for (const Check& check : book_.checks) {
    const std::vector<std::pair<GapKind, std::string>> found = GapsOf(check);
    for (const auto& [kind, id] : found) judge(true, kind, id, check.place, check.gap_because);
    if (found.empty()) judge(false, {}, check.id, check.place, check.gap_because);
  }
  for (const Chart& chart : book_.charts) {
    const bool nowhere = !used_.contains(&chart);
    judge(nowhere, GapKind::kChartNowhere, chart.id, chart.place, chart.gap_because);
    for (const CauseLine& line : chart.causes) {
      if (nowhere && line.gap_because.empty()) continue;  // the chart is listed
      judge(!used_.contains(&line), GapKind::kLineNowhere, fmt::format("{}:{}", chart.id, line.cause.name),
            line.place, line.gap_because);
    }
  }
  for (const Chance& chance : book_.chances) {
    if (!faults_.contains(chance.fault.name) && chance.gap_because.empty()) continue;  // the fault is listed
    judge(!used_.contains(&chance), GapKind::kChanceNowhere, chance.id, chance.place, chance.gap_because);
  }
  if (cases_ > 0) {
    for (const Rule& rule : book_.rules) {
      judge(!used_.contains(&rule), GapKind::kRuleSilent, rule.id, rule.place, rule.gap_because);
    }
    for (const Decision& decision : book_.decisions) {
      judge(!used_.contains(&decision), GapKind::kDecisionSilent, decision.id, decision.place,
            decision.gap_because);
    }
  }
}

GapReport GapSurvey::Report(const Sources& sources, Diagnostics& diagnostics) const {
  GapReport report;
  report.transmissions = transmissions_;
  report.cases = cases_;
  Judge judge{sources, diagnostics, report.gaps};
  JudgeWords(judge);
  JudgeEntries(judge);
  for (const auto& [id, place] : undecided_) judge(true, GapKind::kPartUndecided, id, place, "");
  std::stable_sort(report.gaps.begin(), report.gaps.end(),
                   [](const Gap& a, const Gap& b) { return a.kind < b.kind; });
  return report;
}

}  // namespace gearwhy
