// gearwhy sheet: a case as a page to print and to read on a phone, or a folder of them with an index.
#include <fmt/format.h>

#include "cli/commands.h"
#include "engine/advise/sheet_report.h"
#include "engine/explain/bench_report.h"
#include "engine/render/sheet_html.h"
#include "engine/text/write_file.h"

namespace gearwhy {
namespace {

// A case on its transmission, and with what was found at the teardown.
class OpenedCase {
 public:
  OpenedCase(Session& session, const std::string& path, Diagnostics& diagnostics) {
    c_ = session.ReadCase(path, diagnostics);
    if (!c_) return;
    diagnosis_ = session.DiagnoseCase(*c_, {}, diagnostics);
    if (c_->found.empty()) return;
    with_found_ = WithFound(*c_, session.book().words);
    found_ = session.DiagnoseCase(*with_found_, {}, diagnostics);
  }

  bool IsGood() const { return diagnosis_ && (!with_found_ || found_); }
  const Case& c() const { return *c_; }
  const Diagnosis& diagnosis() const { return *diagnosis_; }
  const Diagnosis& with_found() const { return found_ ? *found_ : *diagnosis_; }

 private:
  std::optional<Case> c_, with_found_;
  std::optional<Diagnosis> diagnosis_, found_;
};

}  // namespace

int RunSheet(const SheetArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  Diagnostics diagnostics;
  const OpenedCase opened(*session, arguments.case_path, diagnostics);
  session->Print(diagnostics);
  if (!opened.IsGood()) return kInputErrors;
  const Speaker speaker(opened.diagnosis(), session->sources());
  const SheetReport report =
      MakeSheetReport(opened.diagnosis(), opened.with_found(), session->shelf().FileOf(opened.c().unit));
  WriteOut(SheetHtml(report, speaker));
  return Finish(kDone);
}

}  // namespace gearwhy
