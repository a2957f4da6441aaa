// gearwhy rules check: everything that can be wrong with a rulebook, for every unit and variant of it.
#include <fmt/format.h>

#include <set>

#include "cli/commands.h"
#include "engine/render/json.h"
#include "engine/study/decision_conflicts.h"
#include "engine/study/gaps.h"
#include "engine/study/lint.h"
#include "engine/text/near_names.h"
#include "engine/text/number.h"

namespace gearwhy {
namespace {

// The rulebook made ground for one unit with nothing observed: finds causes that run in a circle and lines
// that clash; decisions that do not agree.
void CheckFor(Session& session, const std::string& unit, const std::string& variant, Diagnostics& diagnostics,
              ReportedPairs& reported, LintSurvey& lint, std::string& summary) {
  Case empty;
  empty.id = "check";
  empty.unit = unit;
  empty.variant = variant;
  const auto diagnosis = session.GroundCase(empty, diagnostics);
  if (!diagnosis) return;
  CheckDecisions(*diagnosis, reported, diagnostics);
  const Case everything = EverythingObserved(*diagnosis);
  if (const auto all_observed = session.GroundCase(everything, diagnostics))
    lint.AddTransmission(*diagnosis, *all_observed);
  std::size_t faults = 0, states = 0, findings = 0, links = 0;
  for (const Event& event : diagnosis->ground.network.events) {
    (event.type == EventType::kFault ? faults : event.type == EventType::kState ? states : findings) += 1;
    links += event.causes.size();
  }
  const std::string name = unit.empty()      ? "no unit"
                           : variant.empty() ? unit
                                             : fmt::format("{}, {}", unit, variant);
  summary += fmt::format("  {}: {}, {}, {}, {}\n", name, Counted(faults, "fault"), Counted(states, "state"),
                         Counted(findings, "finding"), Counted(links, "link"));
}

// A kind of part that no unit has is most likely a slip of the pen: only the units say which there are.
void CheckRepairs(const Rulebook& book, const std::set<std::string>& part_kinds, Diagnostics& diagnostics) {
  const std::vector<std::string> names(part_kinds.begin(), part_kinds.end());
  for (const Repair& repair : book.repairs) {
    if (part_kinds.contains(repair.part_kind)) continue;
    diagnostics.Error(repair.place, "unknown-part-kind",
                      fmt::format("no unit has a part of the kind `{}`{}", repair.part_kind,
                                  Hint(repair.part_kind, names)));
  }
}

// All of it; what the book holds goes into `summary`.
void CheckBook(Session& session, Diagnostics& diagnostics, std::string& summary) {
  const Rulebook& book = session.book();
  LintSurvey lint(book);
  ReportedPairs reported;
  std::string by_unit;
  const std::vector<std::string> units = session.shelf().Names();
  CheckFor(session, "", "", diagnostics, reported, lint, by_unit);  // a case may name none
  std::set<std::string> part_kinds;
  for (const std::string& unit : units) {
    CheckFor(session, unit, "", diagnostics, reported, lint, by_unit);
    const UnitKnowledge* known = diagnostics.HasErrors() ? nullptr : session.Know(unit, {}, diagnostics);
    if (known == nullptr) continue;
    for (const Part& part : known->unit->parts) part_kinds.insert(part.kind);
    for (const Variant& variant : known->unit->variants)
      CheckFor(session, unit, variant.name, diagnostics, reported, lint, by_unit);
  }
  if (diagnostics.HasErrors()) return;
  if (!units.empty()) CheckRepairs(book, part_kinds, diagnostics);
  if (diagnostics.HasErrors()) return;
  lint.Report(diagnostics);
  const std::size_t warnings = diagnostics.Sorted().size();
  summary = fmt::format("{} {}: {}, no errors{}.\n", book.title.empty() ? "The rulebook" : book.title,
                        book.version, Counted(book.files.size(), "file"),
                        warnings == 0 ? "" : ", " + Counted(warnings, "warning"));
  summary += fmt::format("  {}, {}, {}, {}, {}, {}\n", Counted(book.words.words.size(), "word"),
                         Counted(book.rules.size(), "rule"), Counted(book.charts.size(), "chart"),
                         Counted(book.chances.size(), "chance"), Counted(book.checks.size(), "check"),
                         Counted(book.decisions.size(), "decision"));
  summary += by_unit;
}

}  // namespace

int RunRulesCheck(const RulesCheckArguments& arguments) {
  Diagnostics diagnostics;
  std::string summary;
  const std::unique_ptr<Session> session = Session::Read(arguments.book, diagnostics);
  if (session->HasBook()) CheckBook(*session, diagnostics, summary);
  if (arguments.format != Format::kText) {
    WriteData(MessagesJson(diagnostics, session->sources(), 2) + "\n");
  } else {
    session->Print(diagnostics);
    if (!diagnostics.HasErrors()) WriteOut(summary);
  }
  return Finish(diagnostics.HasErrors() ? kInputErrors : kDone);
}

}  // namespace gearwhy
