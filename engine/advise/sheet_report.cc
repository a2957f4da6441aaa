#include "engine/advise/sheet_report.h"

namespace gearwhy {
namespace {

constexpr int kChecks = 3;

// The element that the first suspect belongs to; where that is of none, that of the first place.
std::string FirstElement(const Diagnosis& diagnosis, const RankReport& rank) {
  if (!rank.suspects.empty() && rank.suspects.front().place.kind == FaultPlace::Kind::kElement)
    return rank.suspects.front().place.name;
  if (rank.where.empty()) return "";
  const auto event = diagnosis.ground.Find(rank.where.front().statement);
  if (!event) return "";
  const FaultPlace place = PlaceOf(diagnosis, *event);
  return place.kind == FaultPlace::Kind::kElement ? place.name : "";
}

// The element of a part; empty where it is of none.
std::string ElementOf(const Unit* unit, const std::string& part) {
  const Part* found = unit == nullptr ? nullptr : unit->FindPart(part);
  return found == nullptr ? "" : found->element;
}

SheetParts PartsOf(const Unit* unit, const std::vector<PartDecision>& parts, const std::string& element) {
  SheetParts sheet;
  std::vector<PartDecision> of_element;
  for (const PartDecision& part : parts) {
    if (part.basis == DecisionBasis::kFound || part.basis == DecisionBasis::kMeasured)
      sheet.by_case.push_back(part);
    if (part.verdict == Verdict::kReplace) sheet.replace.push_back(part);
    if (part.verdict != Verdict::kMeasure) continue;
    if (part.by_case)
      sheet.look.push_back(part);
    else if (!element.empty() && ElementOf(unit, part.part) == element)
      of_element.push_back(part);
    else
      ++sheet.more_to_look;
  }
  sheet.look.insert(sheet.look.end(), of_element.begin(), of_element.end());
  return sheet;
}

}  // namespace

GearsReport MakeGearsReport(const UnitKnowledge& known) {
  return {
      MakeUnitTable(*known.unit, known.behaviour), MakeLeverDiagram(*known.unit, known.behaviour), {}, ""};
}

CaseStage StageOf(const CloseOut& close) {
  if (!close.begun) return CaseStage::kOpen;
  return close.not_ready.empty() ? CaseStage::kReady : CaseStage::kNotReady;
}

SheetReport MakeSheetReport(const Diagnosis& diagnosis, const Diagnosis& with_found,
                            const BookFile* unit_file) {
  SheetReport report;
  report.rank = MakeRankReport(diagnosis, unit_file, diagnosis.limits);
  report.next = FindLookNext(diagnosis, report.rank, kChecks);
  if (report.rank.exactness.known && !report.rank.suspects.empty()) {
    const int first = report.rank.suspects.front().event;
    const Diagnosis asked = WithChanceOf(diagnosis, first);
    report.why = MakeWhyReport(asked, first, asked.limits);
    report.chain = MakeChainGraph(*report.why);
  }
  report.bench = MakeBenchReport(with_found);
  report.stage = StageOf(report.bench.close_out);
  if (const UnitKnowledge* known = diagnosis.Likeliest().transmission->known) {
    report.gears = MakeGearsReport(*known);
    report.gears->marks = MarkElements(diagnosis);
    if (report.rank.exactness.known) report.gears->element = FirstElement(diagnosis, report.rank);
  }
  report.parts = PartsOf(diagnosis.unit, report.bench.parts, report.gears ? report.gears->element : "");
  for (const Observation& observation : diagnosis.c->observations) {
    if (observation.complaint) report.complaints.push_back(observation);
  }
  report.layers = diagnosis.book->layers.names;
  return report;
}

}  // namespace gearwhy
