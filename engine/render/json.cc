#include "engine/render/json.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "engine/render/json_parts.h"
#include "engine/render/text.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// JSON has no infinity; a factor without limit is null.
Json Number(double number) { return std::isfinite(number) ? Json(number) : Json(nullptr); }

const char* ReportName(bool present) { return present ? "present" : "absent"; }

// Of a fact: no other kinds are facts.
const char* OriginName(Origin::Kind kind) {
  switch (kind) {
    case Origin::Kind::kCase:
      return "case";
    case Origin::Kind::kRule:
      return "rule";
    case Origin::Kind::kUnit:
      return "unit";
    case Origin::Kind::kCalculated:
    case Origin::Kind::kReckoned:
      return "calculated";
    default:
      return "kind";
  }
}

// What names the entry by which a report is known.
const char* KeyOf(Origin::Kind kind) {
  switch (kind) {
    case Origin::Kind::kRule:
      return "rule";
    case Origin::Kind::kSilence:
      return "silence";
    case Origin::Kind::kReading:
      return "measurement";
    default:
      return "trust_id";
  }
}

// What a report holds, with the sentences that the speaker makes of it.
class Writer {
 public:
  explicit Writer(const Speaker& speaker) : speaker_(speaker) {}

  Json Of(const Steadiness& steady) const {
    if (!steady.known) return nullptr;
    Json json = {{"shakings", steady.shakings},
                 {"same", steady.same},
                 {"least", Number(steady.least)},
                 {"most", Number(steady.most)}};
    json["rests_on"] = Json::array();
    for (std::size_t i = 0; i < std::min<std::size_t>(steady.rests_on.size(), 10); ++i) {
      const RestsOn& one = steady.rests_on[i];
      json["rests_on"].push_back(
          {{"kind", one.kind},
           {"id", one.id},
           {"effect", StatementId(one.effect)},
           {"cause", one.cause.name.empty() ? Json(nullptr) : Json(StatementId(one.cause))},
           {"odds_factor_of_a_step", Number(std::exp(one.slope))},
           {"source", speaker_.SayPlace(one.place)}});
    }
    return json;
  }

  Json Of(const EvidenceItem& item) const {
    Json json = {{"event", item.event},
                 {"report", ReportName(item.present)},
                 {"says", speaker_.Say(item.statement, item.present)},
                 {"odds_factor", Number(item.odds_factor)},
                 {"by_rivals", item.by_rivals},
                 {"trust", speaker_.SayTrust(item.origin)}};
    json[KeyOf(item.origin.kind)] = item.origin.id;
    if (!item.origin.under.empty()) json["under"] = item.origin.under;
    json["source"] = speaker_.SayPlace(item.origin.place);
    AddLayer(item.origin.place, json);
    if (item.reading) json["reading"] = Of(*item.reading);
    AddOnlyIn(item.only_in, json);
    if (!item.opposite_in.empty()) json["opposite_in"] = item.opposite_in;
    return json;
  }

  Json Of(const ReadingSaid& reading) const {
    return {{"says", speaker_.Say(reading.fact)},
            {reading.limit.side == Side::kBelow ? "least" : "most", reading.limit.limit},
            {"measured_in", BaseUnit(reading.dimension)},
            {"p_beyond", reading.p_beyond},
            {"verdict", StandName(reading.stand)},
            {"contradict", reading.contradicts}};
  }

  Json Of(const AgainstLimit& against) const {
    Json json = {{against.limit.side == Side::kBelow ? "least" : "most", against.limit.limit},
                 {"p_beyond", against.p_beyond},
                 {"verdict", StandName(against.stand)}};
    if (against.finding) json["finding"] = StatementId(*against.finding);
    return json;
  }

  Json Of(const ReadingVerdict& verdict) const {
    Json json = {{"verdict", ReadingStandName(StandOf(verdict.reading))}, {"chance", verdict.chance}};
    AddOnlyIn(verdict.only_in, json);
    json["limits"] = Of(verdict.reading.limits);
    if (verdict.reading.fresh) json["new"] = *verdict.reading.fresh;
    json["as_new"] = verdict.reading.is_as_new;
    if (verdict.could_tell)
      json["could_tell"] = {{"instrument", verdict.could_tell->instrument->name},
                            {"chance", verdict.could_tell->p_tells}};
    return json;
  }

  Json Of(const JudgedPlace& at) const {
    Json json = {{"value", at.measured.value}, {"u", at.measured.u}};
    if (!at.place.empty()) json["place"] = at.place;
    if (at.measured.uneven) json["uneven"] = true;
    return json;
  }

  Json Of(const BenchReading& reading) const {
    const JudgedReading& judged = reading.verdicts.front().reading;
    Json json = {{"measurement", judged.measurement->fact}, {"says", speaker_.Say(reading.fact)}};
    json["measured_in"] = BaseUnit(reading.dimension);
    json["with"] = judged.with;
    json["when"] = judged.as_built ? "as_built" : "as_found";
    json["verdict"] = ReadingStandName(StandOf(reading));
    json["at"] = Of(judged.places);
    json["contradict"] = judged.contradict;
    json["verdicts"] = Of(reading.verdicts);
    json["source"] = speaker_.SayPlace(judged.place);
    return json;
  }

  Json Of(const Fit& fit) const {
    return {{"ring", fit.ring},   {"clearance", fit.clearance}, {"doubt", fit.doubt},
            {"worst", fit.worst}, {"serves", fit.serves},       {"sure", fit.sure}};
  }

  Json Of(const PackFit& pack) const {
    Json json = {{"element", pack.element}, {"part", pack.ring}};
    AddOnlyIn(pack.only_in, json);
    json["least"] = pack.least;
    json["most"] = pack.most;
    json["ideal_ring"] = pack.take.ideal;
    json["best"] = Of(pack.take.best);
    if (pack.take.as_near) json["as_near"] = Of(*pack.take.as_near);
    json["measured"] = pack.measured;
    json["corrected"] = pack.corrected;
    if (!pack.one_missing.empty()) json["one_missing"] = pack.one_missing;
    if (!pack.one_too_many.empty()) json["one_too_many"] = pack.one_too_many;
    return json;
  }

  Json Of(const ChoiceFit& fit) const {
    Json json = {{"part", fit.part}};
    if (!fit.element.empty()) json["element"] = fit.element;
    AddOnlyIn(fit.only_in, json);
    json["sets"] = fit.sets.name;
    json["measured"] = Number(fit.measured.is);
    json["least"] = fit.least;
    json["most"] = fit.most;
    if (fit.fitted) json["fitted"] = Number(*fit.fitted);
    if (fit.take) {
      json["ideal_size"] = Number(fit.take->ideal);
      json["best"] = Of(fit.take->best);
      if (fit.take->as_near) json["as_near"] = Of(*fit.take->as_near);
    }
    if (fit.turns) {
      json["turns_in"] = {{"ideal", Number(fit.turns->ideal)},
                          {"least", Number(fit.turns->least)},
                          {"most", Number(fit.turns->most)},
                          {"doubt", Number(fit.turns->doubt)},
                          {"serves_as_it_stands", fit.turns->serves}};
    }
    return json;
  }

  Json Of(const DueLimits& due) const {
    Json json = Json::object();
    AddOnlyIn(due.only_in, json);
    if (due.limits.least) json["least"] = *due.limits.least;
    if (due.limits.most) json["most"] = *due.limits.most;
    if (due.limits.fresh) json["new"] = *due.limits.fresh;
    return json;
  }

  Json Of(const DueMeasurement& due) const {
    return {{"measurement", due.fact.name},
            {"fact", StatementId(due.fact)},
            {"measured_in", BaseUnit(due.dimension)},
            {"limits", Of(due.limits)},
            {"access_id", due.access},
            {"lost_with", due.lost_with},
            {"caution_ids", due.cautions}};
  }

  Json Of(const Suspect& suspect) const {
    Json json = {{"fault", suspect.fault}};
    json["part"] = suspect.part.empty() ? Json(nullptr) : Json(suspect.part);
    json["mode"] = suspect.mode;
    json["says"] = speaker_.Say(suspect.statement);
    json["chance"] = Number(suspect.chance);
    json["before"] = Number(suspect.before);
    json["needs_unit_out"] = suspect.needs_unit_out;
    json["role"] = RoleName(suspect.role);
    json["follows"] = Of(suspect.follows);
    json["alike"] = suspect.alike;
    AddOnlyIn(suspect.only_in, json);
    json["evidence"] = Of(suspect.evidence);
    return json;
  }

  Json Of(const Consequence& one) const {
    return {{"fault", one.fault}, {"says", speaker_.Say(one.statement)}, {"chance", Number(one.chance)}};
  }

  Json Of(const Contradiction& one) const {
    return {{"says", Of(one.says)},
            {"denies", Of(one.denies)},
            {"complaint", one.complaint},
            {"chance", Number(one.chance)}};
  }

  Json Of(const VariantChance& one) const {
    return {{"variant", one.variant},
            {"says", speaker_.SayName(one.variant, "variant")},
            {"chance", Number(one.chance)},
            {"before", Number(one.before)}};
  }

  Json Of(const VariantSign& sign) const {
    Json json = {{"part", sign.part}, {"says", speaker_.SayName(sign.part, "part")}};
    AddOnlyIn(sign.only_in, json);
    for (const auto& [variant, count] : sign.count) json["count"][variant] = count;
    return json;
  }

  Json Of(const WherePlace& place) const {
    return {
        {"state", place.state}, {"says", speaker_.Say(place.statement)}, {"chance", Number(place.chance)}};
  }

  Json Of(const PlaceAccount& account) const {
    return {{"places", Of(account.places)},
            {"chance", Number(account.chance)},
            {"chance_where", Number(account.chance_where)}};
  }

  Json Of(const AccountPlace& told) const {
    const std::string_view kind = FaultPlaceKindName(told.place.kind);
    const bool named = told.place.kind != FaultPlace::Kind::kFault;
    return {{"kind", kind},
            {"place", told.place.name},
            {"says", named ? speaker_.SayName(told.place.name, kind) : speaker_.Say(told.statement)},
            {"fault", told.fault},
            {"fault_says", speaker_.Say(told.statement)},
            {"fault_chance", Number(told.chance)},
            {"alike", told.alike}};
  }

  Json Of(const Unexplained& event) const {
    return {{"event", event.event},
            {"says", speaker_.Say(event.statement)},
            {"complaint", event.complaint},
            {"known", event.known},
            {"chance_explained", Number(event.chance_explained)},
            {"source", speaker_.SayPlace(event.place)}};
  }

  Json Of(const PartDecision& decision) const {
    Json json = {{"part", decision.part},
                 {"says", speaker_.SayName(decision.part, "part")},
                 {"verdict", VerdictName(decision.verdict)},
                 {"because", speaker_.Say(decision.because)},
                 {"decision", decision.origin.id},
                 {"source", speaker_.SayPlace(decision.origin.place)}};
    AddLayer(decision.origin.place, json);
    if (decision.count) json["count"] = *decision.count;
    AddOnlyIn(decision.only_in, json);
    return json;
  }

  Json Of(const FoundFault& fault) const {
    Json json = {{"fault", StatementId(fault.statement)},
                 {"says", speaker_.Say(fault.statement)},
                 {"chance", Number(fault.chance)},
                 {"role", RoleName(fault.role)}};
    if (fault.comes_of) json["comes_of"] = StatementId(*fault.comes_of);
    json["mended"] = fault.mended;
    return json;
  }

  Json Of(const ComplaintAfter& complaint) const {
    return {{"event", StatementId(complaint.statement)}, {"says", speaker_.Say(complaint.statement)},
            {"chance_before", Number(complaint.before)}, {"chance_after", Number(complaint.after)},
            {"was_tried", complaint.was_tried},          {"source", speaker_.SayPlace(complaint.place)}};
  }

  Json Of(const DueTest& test) const {
    return {{"test", test.id},
            {"says", speaker_.Say(test.says)},
            {"how", speaker_.Say(test.how)},
            {"because", speaker_.Say(test.because)},
            {"access_id", test.access},
            {"cautions", Cautions(test.cautions)},
            {"needed", test.needed},
            {"done", test.done}};
  }

  Json Of(const CapacityInRange& in) const {
    Json json = {{"range", in.range},
                 {"needs_nm", Number(in.needs_nm)},
                 {"carries_nm", Number(in.carries_nm)},
                 {"margin", Number(in.margin())}};
    if (in.carries_new_nm) json["carries_new_nm"] = Number(*in.carries_new_nm);
    if (in.pressure_bar) json["pressure_bar"] = Number(*in.pressure_bar);
    if (in.pressure_bar) json["pressure_was_read"] = in.was_read;
    if (in.spin_n > 0) json["spin_n"] = Number(in.spin_n);
    return json;
  }

  Json Of(const ElementCapacity& capacity) const {
    Json json = {{"element", capacity.element},
                 {"says", speaker_.SayName(capacity.element, "element")},
                 {"ranges", Of(capacity.ranges)}};
    if (capacity.one_plate_fewer) json["margin_one_plate_fewer"] = Number(*capacity.one_plate_fewer);
    if (capacity.half_width) json["margin_half_width"] = Number(*capacity.half_width);
    if (capacity.one_bar_less) json["margin_one_bar_less"] = Number(*capacity.one_bar_less);
    if (capacity.weak_spring) json["margin_weak_spring"] = Number(*capacity.weak_spring);
    AddOnlyIn(capacity.only_in, json);
    return json;
  }

  Json Of(const PartRenewal& one) const {
    Json json = {{"part", one.part},
                 {"says", speaker_.SayName(one.part, "part")},
                 {"look_first", one.look_first},
                 {"age", PartAgeName(one.age)},
                 {"p_as_is", one.p_as_is},
                 {"p_renewed", one.p_renewed},
                 {"p_even", one.weighed.p_even},
                 {"worth_renewing", one.weighed.worth},
                 {"minutes", one.minutes},
                 {"come_back_minutes", one.come_back_minutes},
                 {"counted_in", one.priced ? "money" : "minutes"},
                 {"expected_if_used", one.weighed.if_used},
                 {"expected_if_renewed", one.weighed.if_renewed},
                 {"because", one.again->because},
                 {"source", speaker_.SayPlace(one.again->place)}};
    AddOnlyIn(one.only_in, json);
    return json;
  }

  // Null where the rulebook says nothing of it.
  Json Of(const RenewalReport& report) const {
    if (!report.known) return nullptr;
    return {{"prices_stated", report.prices_stated},
            {"p_back_if_used", report.p_used},
            {"p_back_as_advised", report.p_as_advised},
            {"parts", Of(report.parts)}};
  }

  // Null where nothing was found or done.
  Json Of(const CloseOut& close) const {
    if (!close.begun) return nullptr;
    Json json = {{"ready", close.not_ready.empty()}, {"exact", close.exact}};
    json["not_ready"] = Json::array();
    for (const NotReady why : close.not_ready) json["not_ready"].push_back(NotReadyName(why));
    json["found"] = Of(close.found);
    json["thought"] = Of(close.thought);
    json["complaints"] = Of(close.complaints);
    json["unexplained"] = Of(close.unexplained);
    json["to_renew"] = close.to_renew;
    json["tests"] = Of(close.tests);
    return json;
  }

  Json Of(const ExactnessNote& note) const {
    Json json = {{"exact", note.exact}};
    if (!note.exact) json["error"] = Number(note.error);
    if (note.firm > 0) json["taken_for_certain"] = note.firm;
    if (!note.known) json["known"] = false;
    if (note.left_out.empty()) return json;
    json["left_out"] = Of(note.left_out);
    for (Json& report : json["left_out"]) report.erase("odds_factor");
    return json;
  }

  Json Of(const FactReason& reason) const {
    Json json = {{"fact", StatementId(reason.statement)},
                 {"says", speaker_.Say(reason.statement, reason.present)},
                 {"source", speaker_.SayOrigin(reason.origin)},
                 {"origin", OriginName(reason.origin.kind)}};
    if (reason.origin.kind == Origin::Kind::kRule) json["rule"] = reason.origin.id;
    AddLayer(reason.origin.place, json);
    AddBecause(reason.because, json);
    if (reason.shown_before) json["shown_before"] = true;
    if (!reason.premises.empty()) json["premises"] = Of(reason.premises);
    return json;
  }

  Json Of(const ChainStep& step) const {
    Json json = {{"cause", step.cause},         {"cause_says", speaker_.Say(step.cause_statement)},
                 {"effect", step.effect},       {"effect_says", speaker_.Say(step.effect_statement)},
                 {"how_often", step.how_often}, {"chance_effect", Number(step.chance_effect)},
                 {"chart", step.origin.id},     {"source", speaker_.SayPlace(step.origin.place)}};
    AddLayer(step.origin.place, json);
    AddBecause(step.because, json);
    json["facts"] = Of(step.facts);
    return json;
  }

  Json Of(const ReasonChain& chain) const {
    Json json = Of(chain.evidence);
    json["direct"] = chain.direct;
    json["chain"] = Of(chain.steps);
    return json;
  }

  Json Of(const BaseChance& base) const {
    Json json = {{"chance", base.base},
                 {"chance_id", base.origin.id},
                 {"with_history", base.with_history},
                 {"source", speaker_.SayPlace(base.origin.place)}};
    AddLayer(base.origin.place, json);
    AddBecause(base.because, json);
    json["moved_by"] = Of(base.moved);
    return json;
  }

  Json Of(const BaseChance::Moved& moved) const {
    Json json = {
        {"factor", moved.origin.id}, {"odds", moved.odds}, {"source", speaker_.SayPlace(moved.origin.place)}};
    AddLayer(moved.origin.place, json);
    AddBecause(moved.because, json);
    json["facts"] = Of(moved.facts);
    return json;
  }

  Json Of(const Prediction& prediction) const {
    const bool answered = !prediction.check.empty();
    return {{"event", prediction.event},
            {"says", speaker_.Say(prediction.statement)},
            {"chance_if_so", Number(prediction.chance_if_so)},
            {"chance_if_not", Number(prediction.chance_if_not)},
            {"check", answered ? Json(speaker_.Say(prediction.check_says)) : Json(nullptr)},
            {"check_id", answered ? Json(prediction.check) : Json(nullptr)}};
  }

  Json Of(const WhyNotReport::Failed& failed) const {
    return {{"chance", failed.origin.id},
            {"source", speaker_.SayPlace(failed.origin.place)},
            {"condition", speaker_.SayCondition(*failed.condition, failed.bindings)},
            {"condition_source", speaker_.SayPlace(failed.condition->place)},
            {"conditions_met", failed.conditions_met}};
  }

  Json Of(const Move& move) const {
    return {{"fault", move.fault},
            {"says", speaker_.Say(move.statement)},
            {"now", Number(move.now)},
            {"then", Number(move.then)}};
  }

  Json Of(const NextCheck& check) const {
    Json json = {{"check", check.check},
                 {"key", check.key},
                 {"says", speaker_.Say(check.says)},
                 {"how", speaker_.Say(check.how)},
                 {"own_minutes", check.own_minutes},
                 {"minutes", check.minutes},
                 {"access", speaker_.SayAccess(check.access_name)},
                 {"access_id", check.access_name},
                 {"trust_id", check.trust},
                 {"needs_unit_out", check.needs_unit_out},
                 {"bits", Number(check.bits)},
                 {"worked_out", check.worked_out},
                 {"minutes_to_cause", Number(check.minutes_to_cause)}};
    AddOnlyIn(check.only_in, json);
    json["findings"] = Json::array();
    for (const AskedFinding& finding : check.findings) {
      Json entry = {{"finding", finding.id}, {"says", speaker_.Say(finding.event)}};
      if (finding.complained) entry["complaint"] = true;
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
    json["cautions"] = Cautions(check.cautions);
    json["caution_ids"] = check.cautions;
    return json;
  }

  Json Of(const PullChange& change) const {
    return {{"check", speaker_.Say(change.check)},
            {"key", change.key},
            {"minutes", change.minutes},
            {"answer", SayAnswer(change, speaker_)},
            {"finding", change.answer ? Json(StatementId(*change.answer)) : Json(nullptr)},
            {"report", change.answer ? Json(ReportName(change.present)) : Json(nullptr)},
            {"chance", Number(change.chance)},
            {"then", Number(change.then)}};
  }

  Json Of(const Statement& statement) const { return speaker_.Say(statement); }

  template <typename Item>
  Json Of(const std::vector<Item>& items) const {
    Json list = Json::array();
    for (const Item& item : items) list.push_back(Of(item));
    return list;
  }

  Json Cautions(const std::vector<std::string>& names) const {
    Json list = Json::array();
    for (const std::string& name : names) list.push_back(speaker_.SayCaution(name));
    return list;
  }

 private:
  // Said only where it may be other variants.
  static void AddOnlyIn(const std::vector<std::string>& variants, Json& json) {
    if (!variants.empty()) json["only_in"] = variants;
  }

  // Which layer of the rulebook has the last say in what stands here, and what those above have changed of
  // it.
  void AddLayer(const Place& place, Json& json) const {
    const Speaker::Layered layered = speaker_.LayeredAt(place);
    if (layered.layer.empty()) return;
    json["layer"] = layered.layer;
    for (const LayerChange* change : layered.changes) json["changed_by"].push_back(Of(*change));
  }

  Json Of(const LayerChange& change) const {
    Json json = {{"layer", speaker_.LayerName(change.layer)},
                 {"verb", LayerVerbName(change.verb)},
                 {"source", speaker_.SayPlace(change.place)},
                 {"because", change.because},
                 {"in_force", change.overridden_by < 0}};
    for (const LayerChange::Key& key : change.keys)
      json["keys"].push_back({{"key", key.key}, {"was", key.was}, {"is", key.is}});
    return json;
  }

  void AddBecause(const Phrase& because, Json& json) const {
    if (!because.IsEmpty()) json["because"] = speaker_.Say(because);
  }

  const Speaker& speaker_;
};

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
    case PullAdvice::kOpen:
      return "open";
    case PullAdvice::kPull:
      return "take_out";
    case PullAdvice::kIsOut:
      return "is_out";
  }
  return "";
}

}  // namespace

std::string WriteJson(Json json, int indent) {
  json["made_by"] = {{"program", "gearwhy"}, {"version", GEARWHY_VERSION}, {"format", kJsonFormat}};
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

Json JsonOf(const Diagnostic& diagnostic, const Sources& sources) {
  Json json = {{"code", diagnostic.code}, {"message", diagnostic.message}};
  if (diagnostic.place.IsSomewhere()) {
    json["file"] = sources.Name(diagnostic.place.source);
    json["line"] = diagnostic.place.line;
    json["column"] = diagnostic.place.column;
  }
  return json;
}

Json JsonOf(const NextCheck& check, const Speaker& speaker) { return Writer(speaker).Of(check); }
Json JsonOf(const BenchReading& reading, const Speaker& speaker) { return Writer(speaker).Of(reading); }
Json JsonOf(const DueMeasurement& due, const Speaker& speaker) { return Writer(speaker).Of(due); }

Json JsonOf(const std::optional<Outcome>& outcome) {
  if (!outcome) return nullptr;
  return {{"nothing_to_blame", outcome->nothing()},
          {"repair_with_unit_in", outcome->others()},
          {"repair_with_unit_out", outcome->marked}};
}

std::string NextJson(const NextReport& report, const Speaker& speaker, int indent) {
  const Writer writer(speaker);
  Json json = {{"case", report.case_id}, {"title", report.title}};
  json["outcome"] = JsonOf(report.verdict.pull.outcome);
  json["unit_out"] = {
      {"chance", report.verdict.pull.outcome ? Number(report.verdict.pull.outcome->marked) : Json(nullptr)},
      {"advice", AdviceName(report.verdict.pull.advice)},
      {"could_change", writer.Of(report.verdict.pull.changes)},
      {"worked_out", report.verdict.pull.worked_out}};
  json["vehicle_can_run"] = report.can_run;
  json["minutes_to_cause"] = Number(report.minutes_to_cause);
  json["next"] = writer.Of(report.checks);
  json.update(writer.Of(report.exactness));
  return WriteJson(std::move(json), indent);
}

std::string BenchJson(const BenchReport& report, const Speaker& speaker, int indent) {
  const Writer writer(speaker);
  Json json = {{"case", report.case_id}, {"title", report.title}};
  json["unit"] = report.unit.empty() ? Json(nullptr) : Json(report.unit);
  json["variant"] = report.variant.empty() ? Json(nullptr) : Json(report.variant);
  if (!report.which_variant.may_be.empty()) json["variants"] = writer.Of(report.which_variant.may_be);
  json["readings"] = writer.Of(report.readings);
  json["packs"] = writer.Of(report.packs);
  json["choices"] = writer.Of(report.choices);
  json["parts"] = writer.Of(report.parts);
  json["renewing"] = writer.Of(report.renewals);
  json["due"] = writer.Of(report.due);
  json["close_out"] = writer.Of(report.close_out);
  json["capacities"] = writer.Of(report.capacities);
  return WriteJson(std::move(json), indent);
}

namespace {

// What every answer of a ranking begins with.
Json HeadOf(const RankReport& report, const Writer& writer) {
  Json json = {{"case", report.case_id}, {"title", report.title}};
  json["unit"] = report.unit.empty() ? Json(nullptr) : Json(report.unit);
  json["variant"] = report.variant.empty() ? Json(nullptr) : Json(report.variant);
  if (!report.which_variant.may_be.empty() && report.exactness.known) {
    json["variants"] = writer.Of(report.which_variant.may_be);
    json["variant_signs"] = writer.Of(report.which_variant.signs);
  }
  return json;
}

Json RulebookOf(const RankReport& report) {
  return {{"title", report.book_title}, {"version", report.book_version}, {"sha256", report.book_hash}};
}

// See json_answers.h.
void AddMadeFrom(const std::string& made_from, Json& json) {
  if (!made_from.empty()) json["made_from"] = made_from;
}

}  // namespace

std::string RankJson(const RankReport& report, const LookNext& next, const Speaker& speaker, int indent,
                     const Steadiness* steady, const std::string& made_from) {
  const Writer writer(speaker);
  Json json = HeadOf(report, writer);
  json["outcome"] = JsonOf(next.outcome);
  json["where"] = writer.Of(report.where);
  json["suspects"] = writer.Of(report.suspects);
  json["accounts"] = writer.Of(report.accounts.likeliest);
  json["accounts_rest"] = Number(report.accounts.rest);
  json["unexplained"] = writer.Of(report.unexplained);
  json["contradictions"] = writer.Of(report.contradictions);
  json["parts"] = writer.Of(report.parts);
  json["next"] = writer.Of(next.checks);
  json.update(writer.Of(report.exactness));
  if (report.reasons_left_out) json["reasons_left_out"] = true;
  json["possible"] = report.possible;
  json["cautions"] = writer.Cautions(next.cautions);
  json["caution_ids"] = next.cautions;
  if (steady != nullptr) json["steady"] = writer.Of(*steady);
  json["rulebook"] = RulebookOf(report);
  Json files = Json::array();
  for (const BookFile& file : report.files) files.push_back({{"file", file.name}, {"sha256", file.sha256}});
  json["rulebook"]["files"] = std::move(files);
  AddMadeFrom(made_from, json);
  return WriteJson(std::move(json), indent);
}

std::string ChancesJson(const RankReport& report, const Speaker& speaker, int indent,
                        const std::string& made_from) {
  const Writer writer(speaker);
  Json json = HeadOf(report, writer);
  json["only"] = "chances";
  json["where"] = writer.Of(report.where);
  json["suspects"] = writer.Of(report.suspects);
  for (Json& suspect : json["suspects"]) {  // of these nothing was worked out
    suspect.erase("before");
    suspect.erase("evidence");
  }
  json.update(writer.Of(report.exactness));
  json["possible"] = report.possible;
  json["rulebook"] = RulebookOf(report);
  AddMadeFrom(made_from, json);
  return WriteJson(std::move(json), indent);
}

std::string WhyJson(const WhyReport& report, const Speaker& speaker, int indent) {
  const Writer writer(speaker);
  Json json = {{"case", report.case_id},
               {"title", report.title},
               {"rank", report.rank},
               {"suspect", writer.Of(report.suspect)}};
  if (report.base) json["base_chance"] = writer.Of(*report.base);
  json["for"] = writer.Of(report.speaks_for);
  json["against"] = writer.Of(report.speaks_against);
  json["brought_about_by"] = writer.Of(report.brought_about_by);
  json["predicts"] = writer.Of(report.predicts);
  json.update(writer.Of(report.exactness));
  return WriteJson(std::move(json), indent);
}

std::string WhyNotJson(const WhyNotReport& report, const Speaker& speaker, int indent) {
  const Writer writer(speaker);
  Json json = {{"case", report.case_id},
               {"title", report.title},
               {"fault", report.fault},
               {"says", speaker.Say(report.statement)},
               {"why_not", WhyNotKindName(report.kind)},
               {"chance", Number(report.chance)},
               {"before", Number(report.before)},
               {"rank", report.rank}};
  json["for"] = writer.Of(report.speaks_for);
  json["against"] = writer.Of(report.speaks_against);
  json["better"] = writer.Of(report.better);
  json["better_faults"] = Json::array();
  for (const Statement& fault : report.better) json["better_faults"].push_back(StatementId(fault));
  json["conditions_not_met"] = writer.Of(report.failed);
  return WriteJson(std::move(json), indent);
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
  return WriteJson(std::move(json), indent);
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
  return WriteJson(std::move(json), indent);
}

std::string NetworkJson(const Diagnosis& diagnosis, const Speaker& speaker, int indent) {
  const Network& network = diagnosis.ground.network;
  static const char* const kTypes[] = {"fault", "state", "finding"};
  Json json = {{"case", diagnosis.c->id}};
  if (!network.worlds.empty()) {
    json["variants"] = Json::array();
    for (std::size_t w = 0; w < network.worlds.size(); ++w) {
      json["variants"].push_back(
          {{"variant", diagnosis.worlds[w].transmission->variant}, {"chance", network.worlds[w]}});
    }
  }
  json["events"] = Json::array();
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    const Event& event = network.events[i];
    Json entry = {{"id", event.id},
                  {"type", kTypes[static_cast<int>(event.type)]},
                  {"says", speaker.Say(diagnosis.ground.events[i].statement)}};
    entry[event.type == EventType::kFault ? "chance" : "unexplained"] = event.p_unexplained;
    if (!event.in_world.empty()) entry["in_variants"] = event.in_world;
    entry["causes"] = Json::array();
    for (const Cause& cause : event.causes) {
      Json link = {{"id", network.events[At(cause.event)].id}, {"how_often", cause.p_how_often}};
      if (!cause.in_world.empty()) link["in_variants"] = cause.in_world;
      entry["causes"].push_back(std::move(link));
    }
    json["events"].push_back(std::move(entry));
  }
  json["observed"] = Json::array();
  for (const Report& report : network.reports) {
    Json entry = {{"id", network.events[At(report.event)].id},
                  {"report", ReportName(report.present)},
                  {"p_if_present", report.p_if_present},
                  {"p_if_absent", report.p_if_absent}};
    for (const ReportInWorld& one : report.in_world) {
      entry["in_variants"].push_back({{"report", ReportName(one.present)},
                                      {"p_if_present", one.p_if_present},
                                      {"p_if_absent", one.p_if_absent}});
    }
    json["observed"].push_back(std::move(entry));
  }
  return WriteJson(std::move(json), indent);
}

std::string FailedCaseJson(const std::string& case_id, const Diagnostics& diagnostics, const Sources& sources,
                           int indent, int input_line, const std::string& made_from) {
  Json json = {{"case", case_id}};
  if (input_line > 0) json["input_line"] = input_line;
  json["errors"] = Json::array();
  for (const Diagnostic& diagnostic : diagnostics.Sorted()) {
    if (diagnostic.severity != Severity::kError) continue;
    json["errors"].push_back(JsonOf(diagnostic, sources));
  }
  AddMadeFrom(made_from, json);
  return WriteJson(std::move(json), indent);
}

std::string MessagesJson(const Diagnostics& diagnostics, const Sources& sources, int indent) {
  std::size_t errors = 0;
  Json messages = Json::array();
  for (const Diagnostic& diagnostic : diagnostics.Sorted()) {
    const bool is_error = diagnostic.severity == Severity::kError;
    errors += is_error ? 1 : 0;
    Json entry = {{"severity", is_error ? "error" : "warning"}};
    entry.update(JsonOf(diagnostic, sources));
    messages.push_back(std::move(entry));
  }
  Json json = {{"errors", errors}, {"warnings", messages.size() - errors}};
  json["messages"] = std::move(messages);
  return WriteJson(std::move(json), indent);
}

}  // namespace gearwhy
