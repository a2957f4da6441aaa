// Sheet report: all that the sheet of a case shows, from the reports that the other pages show.
//
// In: a diagnosis of the case, and one of the case with what was found (WithFound), which may be the same. Both must
// outlive the report. Out: the ranking with what to look at next, the reasoning behind the first suspect as a
// graph, the bench, and the unit as a chart and as levers with its elements marked.
// Cost: that of rank, why and bench together. Errors: none.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/advise/next_report.h"
#include "engine/drivetrain/lever_diagram.h"
#include "engine/drivetrain/unit_table.h"
#include "engine/explain/bench_report.h"
#include "engine/explain/chain_graph.h"
#include "engine/explain/element_marks.h"

namespace gearwhy {

// How far a case has come.
enum class CaseStage {
  kOpen,      // nothing was found or done yet
  kNotReady,  // something was, and something keeps it from being closed
  kReady,     // it can be given back
};

// A unit's gears as the pictures show them.
struct GearsReport {
  UnitTable table;
  LeverDiagram levers;
  std::vector<ElementMark> marks;  // none of a unit alone
  std::string element;             // the first suspect's, or that of the first place; empty: of none
};
GearsReport MakeGearsReport(const UnitKnowledge& known);

// The decisions about parts as the sheet lists them.
struct SheetParts {
  std::vector<PartDecision> by_case;  // by what was found or measured
  std::vector<PartDecision> replace;  // all of them, in the order of the unit
  // To measure or look at: those that the case has a say in, then those of the element; the others are
  // counted.
  std::vector<PartDecision> look;
  std::size_t more_to_look = 0;
};

struct SheetReport {
  RankReport rank;
  LookNext next;
  std::optional<WhyReport> why;  // of the first suspect; none where there is none
  ChainGraph chain;              // of that
  BenchReport bench;
  SheetParts parts;
  std::optional<GearsReport> gears;  // none without a unit
  CaseStage stage = CaseStage::kOpen;
  std::vector<Observation> complaints;
  std::vector<std::string> layers;  // the folders of the rulebook, from the lowest up
};

SheetReport MakeSheetReport(const Diagnosis& diagnosis, const Diagnosis& with_found,
                            const BookFile* unit_file);
// By what keeps a case from being closed.
CaseStage StageOf(const CloseOut& close);

}  // namespace gearwhy
