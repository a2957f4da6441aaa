// gearwhy bench: what the readings of a case say, what becomes of each part, what is still to be measured,
// and whether the unit can be given back.
#include "cli/commands.h"
#include "engine/explain/bench_report.h"
#include "engine/render/json.h"
#include "engine/render/text.h"

namespace gearwhy {

int RunBench(const BenchArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  Diagnostics diagnostics;
  std::optional<Case> c = session->ReadCase(arguments.case_path, diagnostics);
  if (c) c = WithFound(std::move(*c), session->book().words);
  const auto diagnosis = c ? session->DiagnoseCase(*c, {}, diagnostics) : std::nullopt;
  session->Print(diagnostics);
  if (!diagnosis) return kInputErrors;
  const BenchReport report = MakeBenchReport(*diagnosis);
  const Speaker speaker(*diagnosis, session->sources());
  if (arguments.format == Format::kCsv) {
    WriteData(PartsCsv(report, speaker));
  } else if (arguments.format == Format::kJson) {
    WriteData(BenchJson(report, speaker, 2) + "\n");
  } else if (arguments.blank) {
    WriteOut(BenchSheetText(report, speaker, StyleOfStdout()));
  } else {
    WriteOut(BenchText(report, speaker, StyleOfStdout(), arguments.show));
  }
  return Finish(kDone);
}

}  // namespace gearwhy
