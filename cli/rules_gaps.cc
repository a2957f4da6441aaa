// gearwhy rules gaps: entries of a rulebook that can never matter, over every unit and variant of it and the
// cases given.
#include "cli/commands.h"
#include "engine/render/json.h"
#include "engine/render/text.h"

namespace gearwhy {
namespace {

void SurveyTransmission(Session& session, const std::string& unit, const std::string& variant,
                        GapSurvey& survey, Diagnostics& diagnostics) {
  Case nothing;
  nothing.id = "gaps";
  nothing.unit = unit;
  nothing.variant = variant;
  const auto unobserved = session.GroundCase(nothing, diagnostics);
  if (!unobserved) return;
  const Case everything = EverythingObserved(*unobserved);
  const auto all_observed = session.GroundCase(everything, diagnostics);
  if (all_observed) survey.AddTransmission(*unobserved, *all_observed);
}

void SurveyCase(Session& session, const std::string& path, GapSurvey& survey, Diagnostics& diagnostics) {
  const std::optional<Case> c = session.ReadCase(path, diagnostics);
  if (!c) return;
  const auto diagnosis = session.GroundCase(*c, diagnostics);
  if (diagnosis) survey.AddCase(*diagnosis);
}

}  // namespace

int RunRulesGaps(const RulesGapsArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  Diagnostics diagnostics;
  GapSurvey survey(session->book());
  const std::vector<std::string> units = session->shelf().Names();
  if (units.empty()) SurveyTransmission(*session, "", "", survey, diagnostics);
  for (const std::string& unit : units) {
    const UnitKnowledge* known = session->Know(unit, {}, diagnostics);
    if (known == nullptr) continue;
    SurveyTransmission(*session, unit, "", survey, diagnostics);
    for (const Variant& variant : known->unit->variants) {
      SurveyTransmission(*session, unit, variant.name, survey, diagnostics);
    }
  }
  for (const std::string& path : ExpandCases(arguments.cases, diagnostics))
    SurveyCase(*session, path, survey, diagnostics);
  // With a unit or a case missing, what is idle would be told wrongly.
  if (diagnostics.HasErrors()) {
    session->Print(diagnostics);
    return kInputErrors;
  }
  const GapReport report = survey.Report(session->sources(), diagnostics);
  session->Print(diagnostics);
  if (arguments.format == Format::kText) {
    WriteOut(GapsText(report, StyleOfStdout()));
  } else {
    WriteData(GapsJson(report, arguments.format == Format::kJson ? 2 : -1) + "\n");
  }
  return Finish(report.AllExplained() && !diagnostics.HasErrors() ? kDone : kInputErrors);
}

}  // namespace gearwhy
