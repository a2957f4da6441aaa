// gearwhy next: the best next checks of a case, and whether the unit must come out.
#include "cli/commands.h"
#include "engine/advise/next_report.h"
#include "engine/render/json.h"
#include "engine/render/text.h"

namespace gearwhy {

int RunNext(const NextArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  Diagnostics diagnostics;
  const std::optional<Case> c = session->ReadCase(arguments.case_path, diagnostics);
  // With the limits of `rank` and `ask`, so that all three put the same check first.
  const auto diagnosis = c ? session->DiagnoseCase(*c, {}, diagnostics) : std::nullopt;
  session->Print(diagnostics);
  if (!diagnosis) return kInputErrors;
  const NextReport report = MakeNextReport(*diagnosis, arguments.checks);
  const Speaker speaker(*diagnosis, session->sources());
  if (arguments.format == Format::kText) {
    WriteOut(arguments.brief ? BriefText(report.title, report.case_id, report.exactness, report.verdict,
                                         speaker, StyleOfStdout())
                             : NextText(report, arguments.moves, speaker, StyleOfStdout()));
  } else {
    WriteData(NextJson(report, speaker, 2) + "\n");
  }
  return Finish(kDone);
}

}  // namespace gearwhy
