#include "engine/render/json.h"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

namespace gearwhy {
namespace {

using Json = nlohmann::ordered_json;

std::string Write(const Json& json, int indent) {
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

// JSON has no infinity; a factor without limit is null.
Json Number(double number) { return std::isfinite(number) ? Json(number) : Json(nullptr); }

Json Of(const EvidenceItem& item) {
  return {{"event", item.event}, {"report", item.present ? "present" : "absent"},
          {"says", item.says},   {"odds_factor", Number(item.odds_factor)},
          {"trust", item.trust}, {"source", item.source}};
}

Json Of(const std::vector<EvidenceItem>& items) {
  Json list = Json::array();
  for (const EvidenceItem& item : items) list.push_back(Of(item));
  return list;
}

Json Of(const Suspect& suspect) {
  Json json = {{"fault", suspect.fault}};
  json["part"] = suspect.part.empty() ? Json(nullptr) : Json(suspect.part);
  json["mode"] = suspect.mode;
  json["says"] = suspect.says;
  json["chance"] = Number(suspect.chance);
  json["before"] = Number(suspect.before);
  json["needs_unit_out"] = suspect.needs_unit_out;
  json["role"] = RoleName(suspect.role);
  json["evidence"] = Of(suspect.evidence);
  return json;
}

Json Of(const ExactnessNote& note) {
  Json json = {{"exact", note.exact}};
  if (!note.exact) json["error"] = Number(note.error);
  if (note.known) return json;
  json["settle_first"] = Json::array();
  for (const EvidenceItem& report : note.settle_first) {
    json["settle_first"].push_back({{"event", report.event},
                                    {"report", report.present ? "present" : "absent"},
                                    {"says", report.says},
                                    {"trust", report.trust},
                                    {"source", report.source}});
  }
  return json;
}

Json Of(const FactReason& reason) {
  Json json = {{"says", reason.says}, {"source", reason.source}};
  if (!reason.because.empty()) json["because"] = reason.because;
  if (reason.shown_before) json["shown_before"] = true;
  if (!reason.premises.empty()) {
    json["premises"] = Json::array();
    for (const FactReason& premise : reason.premises) json["premises"].push_back(Of(premise));
  }
  return json;
}

Json Of(const std::vector<FactReason>& reasons) {
  Json list = Json::array();
  for (const FactReason& reason : reasons) list.push_back(Of(reason));
  return list;
}

Json Of(const ChainStep& step) {
  Json json = {{"cause", step.cause},         {"cause_says", step.cause_says},
               {"effect", step.effect},       {"effect_says", step.effect_says},
               {"how_often", step.how_often}, {"chance_effect", Number(step.chance_effect)},
               {"chart", step.chart},         {"source", step.source}};
  if (!step.because.empty()) json["because"] = step.because;
  json["facts"] = Of(step.facts);
  return json;
}

Json Of(const std::vector<ChainStep>& steps) {
  Json list = Json::array();
  for (const ChainStep& step : steps) list.push_back(Of(step));
  return list;
}

Json Of(const BaseChance& base) {
  Json json = {{"chance", base.base}, {"with_history", base.with_history}, {"source", base.source}};
  if (!base.because.empty()) json["because"] = base.because;
  json["moved_by"] = Json::array();
  for (const BaseChance::Moved& moved : base.moved) {
    Json entry = {{"factor", moved.id}, {"odds", moved.odds}, {"source", moved.source}};
    if (!moved.because.empty()) entry["because"] = moved.because;
    entry["facts"] = Of(moved.facts);
    json["moved_by"].push_back(std::move(entry));
  }
  return json;
}

Json Of(const std::vector<Move>& moves) {
  Json list = Json::array();
  for (const Move& move : moves) {
    list.push_back(
        {{"fault", move.fault}, {"says", move.says}, {"now", Number(move.now)}, {"then", Number(move.then)}});
  }
  return list;
}

Json Of(const NextCheck& check) {
  Json json = {{"check", check.check},
               {"key", check.key},
               {"says", check.says},
               {"how", check.how},
               {"own_minutes", check.own_minutes},
               {"minutes", check.minutes},
               {"access", check.access},
               {"needs_unit_out", check.needs_unit_out},
               {"bits", Number(check.bits)},
               {"worked_out", check.worked_out},
               {"minutes_to_cause", Number(check.minutes_to_cause)}};
  json["findings"] = Json::array();
  for (const AskedFinding& finding : check.findings) {
    Json entry = {{"finding", finding.id}, {"says", finding.says}};
    if (check.worked_out) {
      entry["chance_alone"] = Number(finding.chance);
      entry["if_alone"] = Of(finding.if_alone);
    }
    json["findings"].push_back(std::move(entry));
  }
  if (check.worked_out) {
    json["none"] = {{"chance", Number(check.chance_none)}, {"if_none", Of(check.if_none)}};
    json["chance_several"] = Number(check.chance_several);
  }
  json["cautions"] = check.cautions;
  return json;
}

Json Of(const std::optional<Outcome>& outcome) {
  if (!outcome) return nullptr;
  return {{"nothing_to_blame", outcome->nothing()},
          {"repair_with_unit_in", outcome->others()},
          {"repair_with_unit_out", outcome->marked}};
}

const char* AdviceName(PullAdvice advice) {
  switch (advice) {
    case PullAdvice::kUnknown:
      return "unknown";
    case PullAdvice::kNothing:
      return "nothing_to_blame";
    case PullAdvice::kLeaveIn:
      return "leave_in";
    case PullAdvice::kLookFirst:
      return "look_first";
    case PullAdvice::kPull:
      return "take_out";
    case PullAdvice::kIsOut:
      return "is_out";
  }
  return "";
}

}  // namespace

std::string NextJson(const NextReport& report, int indent) {
  Json json = {{"case", report.case_id}, {"title", report.title}};
  Json changes = Json::array();
  for (const PullChange& change : report.pull.changes) {
    changes.push_back({{"check", change.check},
                       {"key", change.key},
                       {"minutes", change.minutes},
                       {"answer", change.answer},
                       {"chance", Number(change.chance)},
                       {"then", Number(change.then)}});
  }
  json["outcome"] = Of(report.pull.outcome);
  json["unit_out"] = {{"chance", report.pull.outcome ? Number(report.pull.outcome->marked) : Json(nullptr)},
                      {"advice", AdviceName(report.pull.advice)},
                      {"could_change", std::move(changes)},
                      {"worked_out", report.pull.worked_out}};
  json["vehicle_can_run"] = report.can_run;
  json["minutes_to_cause"] = Number(report.minutes_to_cause);
  json["next"] = Json::array();
  for (const NextCheck& check : report.checks) json["next"].push_back(Of(check));
  json.update(Of(report.exactness));
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

std::string RankJson(const RankReport& report, const LookNext& next, int indent) {
  Json json = {{"case", report.case_id}, {"title", report.title}};
  json["unit"] = report.unit.empty() ? Json(nullptr) : Json(report.unit);
  json["variant"] = report.variant.empty() ? Json(nullptr) : Json(report.variant);
  json["outcome"] = Of(next.outcome);
  json["where"] = Json::array();
  for (const WherePlace& place : report.where) {
    json["where"].push_back({{"state", place.state}, {"says", place.says}, {"chance", Number(place.chance)}});
  }
  json["suspects"] = Json::array();
  for (const Suspect& suspect : report.suspects) json["suspects"].push_back(Of(suspect));
  json["together"] = {{"faults", report.together.faults},
                      {"says", report.together.says},
                      {"chance", Number(report.together.chance)},
                      {"exact", report.together.exact}};
  json["unexplained"] = Json::array();
  for (const Unexplained& event : report.unexplained) {
    json["unexplained"].push_back({{"event", event.event},
                                   {"says", event.says},
                                   {"complaint", event.complaint},
                                   {"known", event.known},
                                   {"chance_explained", Number(event.chance_explained)},
                                   {"source", event.source}});
  }
  json["parts"] = Json::array();
  for (const PartDecision& decision : report.parts) {
    json["parts"].push_back({{"part", decision.part},
                             {"says", decision.says},
                             {"verdict", VerdictName(decision.verdict)},
                             {"because", decision.because},
                             {"decision", decision.decision},
                             {"source", decision.source}});
  }
  json["next"] = Json::array();
  for (const NextCheck& check : next.checks) json["next"].push_back(Of(check));
  json.update(Of(report.exactness));
  if (report.reasons_left_out) json["reasons_left_out"] = true;
  json["possible"] = report.possible;
  json["cautions"] = next.cautions;
  Json files = Json::array();
  for (const BookFile& file : report.files) files.push_back({{"file", file.name}, {"sha256", file.sha256}});
  json["rulebook"] = {{"title", report.book_title},
                      {"version", report.book_version},
                      {"sha256", report.book_hash},
                      {"files", std::move(files)}};
  return Write(json, indent);
}

std::string WhyJson(const WhyReport& report, int indent) {
  Json json = {{"case", report.case_id},
               {"title", report.title},
               {"rank", report.rank},
               {"suspect", Of(report.suspect)}};
  if (report.base) json["base_chance"] = Of(*report.base);
  json["for"] = Json::array();
  for (const ReasonChain& chain : report.speaks_for) {
    Json entry = Of(chain.evidence);
    entry["direct"] = chain.direct;
    entry["chain"] = Of(chain.steps);
    json["for"].push_back(std::move(entry));
  }
  json["against"] = Of(report.speaks_against);
  json["brought_about_by"] = Of(report.brought_about_by);
  json["predicts"] = Json::array();
  for (const Prediction& prediction : report.predicts) {
    json["predicts"].push_back(
        {{"event", prediction.event},
         {"says", prediction.says},
         {"chance_if_so", Number(prediction.chance_if_so)},
         {"chance_if_not", Number(prediction.chance_if_not)},
         {"check", prediction.check.empty() ? Json(nullptr) : Json(prediction.check)}});
  }
  json.update(Of(report.exactness));
  return Write(json, indent);
}

std::string WhyNotJson(const WhyNotReport& report, int indent) {
  Json json = {{"case", report.case_id},
               {"title", report.title},
               {"fault", report.fault},
               {"says", report.says},
               {"why_not", WhyNotKindName(report.kind)},
               {"chance", Number(report.chance)},
               {"before", Number(report.before)},
               {"rank", report.rank}};
  json["for"] = Of(report.speaks_for);
  json["against"] = Of(report.speaks_against);
  json["better"] = report.better;
  json["conditions_not_met"] = Json::array();
  for (const WhyNotReport::Failed& failed : report.failed) {
    json["conditions_not_met"].push_back({{"chance", failed.id},
                                          {"source", failed.source},
                                          {"condition", failed.condition},
                                          {"condition_source", failed.condition_source},
                                          {"conditions_met", failed.conditions_met}});
  }
  return Write(json, indent);
}

std::string GapsJson(const GapReport& report, int indent) {
  Json json = {{"transmissions", report.transmissions},
               {"cases", report.cases},
               {"all_explained", report.AllExplained()}};
  json["gaps"] = Json::array();
  for (const Gap& gap : report.gaps) {
    json["gaps"].push_back({{"kind", GapKindName(gap.kind)},
                            {"id", gap.id},
                            {"source", gap.source},
                            {"because", gap.because.empty() ? Json(nullptr) : Json(gap.because)}});
  }
  return Write(json, indent);
}

std::string UnitJson(const UnitTable& table, int indent) {
  static const char* const kUses[] = {"open", "applied", "holds", "coast"};
  Json json = {
      {"unit", table.unit}, {"says", table.says}, {"gearsets", table.gearsets}, {"variants", table.variants}};
  json["elements"] = Json::array();
  for (const UnitTable::ElementRow& row : table.elements) {
    json["elements"].push_back(
        {{"element", row.element}, {"says", row.says}, {"type", row.type}, {"between", row.between}});
  }
  json["ranges"] = Json::array();
  for (const RangeRow& row : table.ranges) {
    Json elements = Json::array();
    for (const ElementInRange& use : row.elements) {
      if (use.use == ElementUse::kOpen) continue;
      elements.push_back(
          {{"element", use.element}, {"use", kUses[static_cast<int>(use.use)]}, {"torque", use.torque}});
    }
    json["ranges"].push_back({{"range", row.range},
                              {"says", row.says},
                              {"ratio", row.neutral ? Json(nullptr) : Json(row.ratio)},
                              {"step", row.step > 0 ? Json(row.step) : Json(nullptr)},
                              {"engine_braking", row.engine_braking},
                              {"torque_shared", row.torque_shared},
                              {"elements", std::move(elements)}});
  }
  const auto failures = [](const std::vector<FailureRow>& rows) {
    Json list = Json::array();
    for (const FailureRow& row : rows) {
      list.push_back({{"element", row.element}, {"range", row.range}, {"what", row.what}});
    }
    return list;
  };
  json["fails_to_hold"] = failures(table.fails_to_hold);
  json["fails_to_release"] = failures(table.fails_to_release);
  return Write(json, indent);
}

std::string NetworkJson(const Diagnosis& diagnosis, int indent) {
  const Speaker speaker(diagnosis.book->words, SpokenNamesOf(diagnosis.unit));
  const Network& network = diagnosis.ground.network;
  static const char* const kTypes[] = {"fault", "state", "finding"};
  Json json = {{"case", diagnosis.c->id}};
  json["events"] = Json::array();
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    const Event& event = network.events[i];
    Json entry = {{"id", event.id},
                  {"type", kTypes[static_cast<int>(event.type)]},
                  {"says", speaker.Say(diagnosis.ground.events[i].statement)}};
    entry[event.type == EventType::kFault ? "chance" : "unexplained"] = event.p_unexplained;
    entry["causes"] = Json::array();
    for (const Cause& cause : event.causes) {
      entry["causes"].push_back({{"id", network.events[static_cast<std::size_t>(cause.event)].id},
                                 {"how_often", cause.p_how_often}});
    }
    json["events"].push_back(std::move(entry));
  }
  json["observed"] = Json::array();
  for (const Report& report : network.reports) {
    json["observed"].push_back({{"id", network.events[static_cast<std::size_t>(report.event)].id},
                                {"report", report.present ? "present" : "absent"},
                                {"p_if_present", report.p_if_present},
                                {"p_if_absent", report.p_if_absent}});
  }
  return Write(json, indent);
}

std::string FailedCaseJson(const std::string& case_id, const Diagnostics& diagnostics, const Sources& sources,
                           int indent) {
  Json json = {{"case", case_id}, {"errors", Json::array()}};
  for (const Diagnostic& diagnostic : diagnostics.Sorted()) {
    if (diagnostic.severity != Severity::kError) continue;
    Json entry = {{"code", diagnostic.code}, {"message", diagnostic.message}};
    if (diagnostic.place.IsSomewhere()) {
      entry["file"] = sources.Name(diagnostic.place.source);
      entry["line"] = diagnostic.place.line;
      entry["column"] = diagnostic.place.column;
    }
    json["errors"].push_back(std::move(entry));
  }
  return Write(json, indent);
}

}  // namespace gearwhy
