#include "engine/explain/why_report.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "engine/belief/answers.h"
#include "engine/explain/follows.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"
#include "engine/text/for_order.h"

namespace gearwhy {
namespace {

// The strongest way from `from` to every event: for each, the link (effect, index of its cause) it was
// reached by.
struct Ways {
  std::vector<double> p_way;   // product of how-often along it; 0 where none leads
  std::vector<int> last_link;  // index into the event's causes
};
Ways StrongestWays(const Network& network, int from) {
  Ways ways{std::vector<double>(network.events.size(), 0), std::vector<int>(network.events.size(), -1)};
  ways.p_way[At(from)] = 1;
  for (const int effect : CausesFirst(network)) {
    if (effect == from) continue;
    const auto& causes = network.events[At(effect)].causes;
    for (std::size_t i = 0; i < causes.size(); ++i) {
      const double p = ways.p_way[At(causes[i].event)] * causes[i].p_how_often;
      if (p > ways.p_way[At(effect)]) {
        ways.p_way[At(effect)] = p;
        ways.last_link[At(effect)] = static_cast<int>(i);
      }
    }
  }
  return ways;
}

class Explainer {
 public:
  explicit Explainer(const Diagnosis& diagnosis)
      : diagnosis_(diagnosis), network_(diagnosis.ground.network), reasons_(diagnosis) {}

  ChainStep Step(int effect, int link_index) {
    const GroundEvent& event = diagnosis_.ground.events[At(effect)];
    const GroundLink& link = event.links[At(link_index)];
    const Cause& cause = network_.events[At(effect)].causes[At(link_index)];
    ChainStep step;
    step.cause = network_.events[At(cause.event)].id;
    step.effect = network_.events[At(effect)].id;
    step.cause_statement = diagnosis_.ground.events[At(cause.event)].statement;
    step.effect_statement = event.statement;
    step.how_often = cause.p_how_often;
    step.chance_effect = diagnosis_.chances.p_event[At(effect)];
    step.origin = {Origin::Kind::kChart, link.chart->id, {}, link.line->place};
    step.because = {&link.line->because, link.bindings, &link.chart->variables};
    step.facts = reasons_.Reasons(link.world, link.facts);
    return step;
  }

  ReasonChain Chain(const EvidenceItem& evidence, int reported, int suspect, const Ways& ways) {
    ReasonChain chain{evidence, {}, true};
    if (reported == suspect) return chain;
    const bool present = evidence.present || !evidence.opposite_in.empty();
    chain.direct = present && ways.p_way[At(reported)] > 0;
    if (!chain.direct) return chain;
    for (int effect = reported; effect != suspect;) {
      const int link = ways.last_link[At(effect)];
      chain.steps.push_back(Step(effect, link));
      effect = network_.events[At(effect)].causes[At(link)].event;
    }
    std::reverse(chain.steps.begin(), chain.steps.end());
    return chain;
  }

  // How the event brings about each thing that was found.
  std::vector<ReasonChain> BringsAbout(int event, const Ways& ways) {
    std::vector<ReasonChain> chains;
    for (std::size_t r = 0; r < network_.reports.size(); ++r) {
      const Report& report = network_.reports[r];
      if (!report.present || !(ways.p_way[At(report.event)] > 0)) continue;
      chains.push_back(Chain(DescribeReport(diagnosis_, static_cast<int>(r)), report.event, event, ways));
    }
    return chains;
  }

  std::vector<ChainStep> BroughtAboutBy(int event) {
    const auto& causes = network_.events[At(event)].causes;
    std::vector<std::pair<double, int>> likeliest;
    for (std::size_t i = 0; i < causes.size(); ++i) {
      const double p = diagnosis_.chances.p_event[At(causes[i].event)] * causes[i].p_how_often;
      if (p >= 0.005) likeliest.emplace_back(-ForOrder(p), static_cast<int>(i));
    }
    std::stable_sort(likeliest.begin(), likeliest.end());
    std::vector<ChainStep> steps;
    for (const auto& [minus_p, link] : likeliest) steps.push_back(Step(event, link));
    return steps;
  }

  std::optional<BaseChance> Base(int event) {
    const GroundEvent& ground = diagnosis_.ground.events[At(event)];
    if (ground.chance == nullptr) return std::nullopt;
    BaseChance base;
    base.base = ground.chance->p_chance;
    // What its factors make of it, in a variant that has it.
    const Event& own = network_.events[At(event)];
    base.with_history = own.in_world.empty() ? own.p_unexplained : own.in_world[At(ground.world)];
    base.origin = {Origin::Kind::kChance, ground.chance->id, {}, ground.chance->place};
    base.because = {&ground.chance->because, ground.chance_bindings, &ground.chance->variables};
    for (const AppliedFactor& applied : diagnosis_.ground.FactorsOf(event)) {
      const OddsFactor& factor = *applied.factor;
      base.moved.push_back({factor.odds,
                            {Origin::Kind::kFactor, factor.id, {}, factor.place},
                            {&factor.because, ground.chance_bindings, &ground.chance->variables},
                            reasons_.Reasons(ground.world, applied.facts)});
    }
    return base;
  }

  // Findings and states that hang on the suspect and that nobody has looked at, those that would tell most
  // first.
  std::vector<Prediction> Predictions(int suspect, const Ways& ways, const BeliefLimits& limits) {
    std::set<int> reported;
    for (const Report& report : network_.reports) reported.insert(report.event);
    // What is told by its parts is not predicted besides.
    const auto is_whole = [&](const Event& event) {
      return std::any_of(event.causes.begin(), event.causes.end(), [&](const Cause& cause) {
        return network_.events[At(cause.event)].type == EventType::kFinding;
      });
    };
    BeliefLimits these = limits;
    for (std::size_t i = 0; i < network_.events.size(); ++i) {
      const Event& event = network_.events[i];
      if (ways.p_way[i] >= kLeastWayToExpect && event.type == EventType::kFinding && !is_whole(event))
        these.also.push_back(static_cast<int>(i));
    }
    const auto chances_if = [&](bool so) {
      Network supposed = network_;
      supposed.reports.push_back({suspect, so, so ? 1.0 : 0.0, so ? 0.0 : 1.0});
      return ComputeChances(supposed, these);
    };
    const Chances if_so = chances_if(true), if_not = chances_if(false);
    if (!if_so.possible || !if_not.possible) return {};
    const double p_suspect = diagnosis_.chances.p_event[At(suspect)];
    std::vector<std::pair<double, Prediction>> found;
    for (std::size_t i = 0; i < network_.events.size(); ++i) {
      const int event = static_cast<int>(i);
      if (event == suspect || reported.contains(event) || !(ways.p_way[i] > 0)) continue;
      if (network_.events[i].type != EventType::kFinding) continue;
      const double so = if_so.p_event[i];
      const double not_so = if_not.p_event[i];
      if (!(so >= 0.2) || !(so - not_so >= 0.05)) continue;
      const double p = p_suspect * so + (1 - p_suspect) * not_so;
      const double bits =
          BinaryEntropy(p) - p_suspect * BinaryEntropy(so) - (1 - p_suspect) * BinaryEntropy(not_so);
      found.emplace_back(bits, Predicted(event, so, not_so));
    }
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& a, const auto& b) { return ForOrder(a.first) > ForOrder(b.first); });
    std::vector<Prediction> predictions;
    for (auto& [bits, prediction] : found) {
      if (predictions.size() < kMostPredictions) predictions.push_back(std::move(prediction));
    }
    return predictions;
  }

 private:
  // With the first check of the rulebook that answers the finding.
  Prediction Predicted(int event, double so, double not_so) const {
    const Statement& finding = diagnosis_.ground.events[At(event)].statement;
    Prediction prediction{network_.events[At(event)].id, finding, so, not_so, "", {}};
    for (const Check& check : diagnosis_.book->checks) {
      for (const Pattern& pattern : check.tells) {
        if (pattern.name != finding.name) continue;
        for (const int world : diagnosis_.likeliest) {
          for (const Match& match : FindMatches(check.when, diagnosis_.worlds[At(world)].store)) {
            if (Fill(pattern, match.bindings) != finding) continue;
            prediction.check = check.id;
            prediction.check_says = {&check.says, match.bindings, &check.variables};
            return prediction;
          }
        }
      }
    }
    return prediction;
  }

  const Diagnosis& diagnosis_;
  const Network& network_;
  FactReasons reasons_;
};

// Sorts what was reported into for and against, by its factor, and hands over the reported event. What the
// suspect brings about and was found is for it, also where others explain it as well.
template <typename For, typename Against>
void SortEvidence(const Diagnosis& diagnosis, const Influence& influence, int event, Follows& follows,
                  For speaks_for, Against speaks_against) {
  std::vector<std::pair<double, int>> by_strength;
  for (std::size_t r = 0; r < diagnosis.ground.reports.size(); ++r) {
    const double factor = influence.odds_factor[r][At(event)];
    by_strength.emplace_back(factor > 0 ? -ForOrder(std::abs(std::log(factor))) : -1e300,
                             static_cast<int>(r));
  }
  std::stable_sort(by_strength.begin(), by_strength.end());
  for (const auto& [strength, r] : by_strength) {
    const Report& report = diagnosis.ground.network.reports[At(r)];
    const bool brings_about = follows.From(event, report.event);
    if (strength > -kLeastStrength && !(report.present && brings_about)) continue;
    EvidenceItem item = DescribeReport(diagnosis, r);
    item.odds_factor = influence.odds_factor[At(r)][At(event)];
    item.by_rivals = brings_about && report.present == (item.odds_factor <= std::exp(kLeastStrength));
    if (item.odds_factor > 1 || (report.present && brings_about)) {
      speaks_for(item, report.event);
    } else {
      speaks_against(item);
    }
  }
}

// For each line of `chances` that could give the fault a chance: how far it came.
std::vector<WhyNotReport::Failed> FailedLines(const Diagnosis& diagnosis, const Statement& fault) {
  std::vector<WhyNotReport::Failed> failed;
  for (const Chance& chance : diagnosis.book->chances) {
    // The chain can say how far a rule came; a line of `chances` is asked as the rule it is.
    const std::vector<Rule> as_rule = {{chance.id,
                                        chance.when,
                                        {{Sense::kFact, chance.fault}},
                                        chance.because,
                                        chance.variables,
                                        chance.place}};
    for (const NearMiss& miss : WhyNot(as_rule, diagnosis.Likeliest().store, Sense::kFact, fault)) {
      failed.push_back({{Origin::Kind::kChance, chance.id, {}, chance.place},
                        &chance.when[At(miss.failed_condition)],
                        miss.bindings,
                        miss.conditions_met});
    }
  }
  return failed;
}

// The three likeliest faults that are likelier than this chance.
std::vector<Statement> LikelierFaults(const Diagnosis& diagnosis, double chance) {
  const auto& events = diagnosis.ground.network.events;
  std::vector<std::tuple<double, std::string, std::size_t>> likelier;  // minus its chance, id, event
  for (std::size_t i = 0; i < events.size(); ++i) {
    const double p = diagnosis.chances.p_event[i];
    if (events[i].type == EventType::kFault && p > chance)
      likelier.emplace_back(-ForOrder(p), events[i].id, i);
  }
  std::sort(likelier.begin(), likelier.end());
  if (likelier.size() > kMostBetter) likelier.resize(kMostBetter);
  std::vector<Statement> faults;
  for (const auto& [minus_p, id, i] : likelier) faults.push_back(diagnosis.ground.events[i].statement);
  return faults;
}

}  // namespace

std::string_view WhyNotKindName(WhyNotReport::Kind kind) {
  switch (kind) {
    case WhyNotReport::Kind::kSuspected:
      return "suspected";
    case WhyNotReport::Kind::kNotHere:
      return "not_here";
    case WhyNotReport::Kind::kNotTouched:
      return "not_touched";
    case WhyNotReport::Kind::kSpokenAgainst:
      return "spoken_against";
    case WhyNotReport::Kind::kOutweighed:
      return "outweighed";
  }
  return "";
}

int RankAmongItsType(const Diagnosis& diagnosis, int event, Follows& follows) {
  const auto& p = diagnosis.chances.p_event;
  const auto& events = diagnosis.ground.network.events;
  const bool is_cause =
      events[At(event)].type == EventType::kFault && RoleOf(diagnosis, event) != Role::kConsequence;
  const std::vector<char> all_spoken_for = is_cause ? SpokenFor(diagnosis, follows) : std::vector<char>();
  const bool spoken_for = !is_cause || all_spoken_for[At(event)] != 0;
  int rank = 1;
  for (std::size_t i = 0; i < events.size(); ++i) {
    if (events[i].type != events[At(event)].type || std::isnan(p[i])) continue;
    if (diagnosis.ground.events[i].word->where != diagnosis.ground.events[At(event)].word->where) continue;
    if (is_cause && RoleOf(diagnosis, static_cast<int>(i)) == Role::kConsequence) continue;
    if (is_cause && (all_spoken_for[i] != 0) != spoken_for) {
      rank += !spoken_for;  // of the others all stand before it, or none does
      continue;
    }
    if (p[i] > p[At(event)] || (p[i] == p[At(event)] && events[i].id < events[At(event)].id)) ++rank;
  }
  return rank;
}

Reasoning ReasoningFor(const Diagnosis& diagnosis, int event) {
  Explainer explainer(diagnosis);
  return {explainer.Base(event), explainer.BringsAbout(event, StrongestWays(diagnosis.ground.network, event)),
          explainer.BroughtAboutBy(event)};
}

WhyReport MakeWhyReport(const Diagnosis& diagnosis, int event, const BeliefLimits& limits) {
  Explainer explainer(diagnosis);
  const GroundEvent& ground = diagnosis.ground.events[At(event)];
  WhyReport report;
  report.case_id = diagnosis.c->id;
  report.title = diagnosis.c->title;
  const Influence influence = InfluenceOf(diagnosis, {event});
  report.suspect = MakeSuspect(diagnosis, influence, event);
  report.suspect.before = ChancesBefore(diagnosis, {event}, limits).front();
  Follows follows(diagnosis.ground.network);
  report.rank = RankAmongItsType(diagnosis, event, follows);
  report.exactness = NoteExactness(diagnosis);
  report.base = explainer.Base(event);
  const Ways ways = StrongestWays(diagnosis.ground.network, event);
  SortEvidence(
      diagnosis, influence, event, follows,
      [&](const EvidenceItem& item, int reported) {
        report.speaks_for.push_back(explainer.Chain(item, reported, event, ways));
      },
      [&](const EvidenceItem& item) { report.speaks_against.push_back(item); });
  report.brought_about_by = explainer.BroughtAboutBy(event);
  if (ground.word->type != WordType::kFinding) report.predicts = explainer.Predictions(event, ways, limits);
  return report;
}

WhyNotReport MakeWhyNotReport(const Diagnosis& diagnosis, const Statement& fault,
                              const BeliefLimits& limits) {
  WhyNotReport report;
  report.case_id = diagnosis.c->id;
  report.title = diagnosis.c->title;
  report.fault = StatementId(fault);
  report.statement = fault;
  const std::optional<int> event = diagnosis.ground.Find(fault);
  if (!event) {
    report.kind = WhyNotReport::Kind::kNotHere;
    report.failed = FailedLines(diagnosis, fault);
    return report;
  }
  Follows follows(diagnosis.ground.network);
  report.rank = RankAmongItsType(diagnosis, *event, follows);
  report.chance = diagnosis.chances.p_event[At(*event)];
  report.before = ChancesBefore(diagnosis, {*event}, limits).front();
  SortEvidence(
      diagnosis, InfluenceOf(diagnosis), *event, follows,
      [&](const EvidenceItem& item, int) { report.speaks_for.push_back(item); },
      [&](const EvidenceItem& item) { report.speaks_against.push_back(item); });
  if (report.rank <= 3 && report.chance >= 0.1) {
    report.kind = WhyNotReport::Kind::kSuspected;
  } else if (report.speaks_for.empty() && report.speaks_against.empty()) {
    report.kind = WhyNotReport::Kind::kNotTouched;
  } else if (report.chance < report.before) {
    report.kind = WhyNotReport::Kind::kSpokenAgainst;
  } else {
    report.kind = WhyNotReport::Kind::kOutweighed;
    report.better = LikelierFaults(diagnosis, report.chance);
  }
  return report;
}

}  // namespace gearwhy
