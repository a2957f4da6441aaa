// gearwhy sheet: a case as a page to print and to read on a phone, or a folder of cases as pages with an
// index.
#include <fmt/format.h>

#include <cstdio>
#include <filesystem>
#include <set>

#include "cli/commands.h"
#include "engine/advise/sheet_report.h"
#include "engine/explain/bench_report.h"
#include "engine/render/sheet_html.h"
#include "engine/text/in_order.h"
#include "engine/text/read_file.h"
#include "engine/text/safe_text.h"
#include "engine/text/write_file.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

// A case on its transmission, and with what was found at the teardown. Its texts stand on the session's, so
// that several can be opened at once.
class OpenedCase {
 public:
  OpenedCase(Session& session, const std::string& path) : session_(session), sources_(&session.sources()) {
    const auto source = ReadSource(path, path, kMaxCaseBytes, sources_, diagnostics_);
    if (source)
      c_ = session.opened().ReadCase(sources_, *source, fs::path(path).stem().string(), FolderOf(path),
                                     diagnostics_);
    if (!c_) return;
    diagnosis_ = session.DiagnoseCase(*c_, {}, diagnostics_);
    if (c_->found.empty()) return;
    with_found_ = WithFound(*c_, session.book().words);
    found_ = session.DiagnoseCase(*with_found_, {}, diagnostics_);
  }

  bool IsGood() const { return diagnosis_ && (!with_found_ || found_); }
  std::string Messages() const { return RenderDiagnostics(diagnostics_, sources_); }
  Speaker MakeSpeaker() const { return Speaker(*diagnosis_, sources_); }
  const Unit* unit() const { return diagnosis_->unit; }
  const Diagnosis& with_found() const { return found_ ? *found_ : *diagnosis_; }
  SheetReport Report() const {
    return MakeSheetReport(*diagnosis_, with_found(), session_.shelf().FileOf(c_->unit));
  }

 private:
  Session& session_;
  Sources sources_;
  Diagnostics diagnostics_;
  std::optional<Case> c_, with_found_;
  std::optional<Diagnosis> diagnosis_, found_;
};

std::string PageOf(const OpenedCase& opened, const SheetReport& report, const SheetArguments& arguments) {
  const Speaker speaker = opened.MakeSpeaker();
  return arguments.reader == "customer" ? CustomerHtml(report, opened.unit(), speaker)
                                        : SheetHtml(report, speaker);
}

int Failed(const std::string& why) {
  WriteErr(fmt::format("error: {} [cannot-write]\n", why));
  return kInputErrors;
}

// To the file that was named, whole or not at all, or to the standard output.
int Deliver(const std::string& page, const std::string& out) {
  if (out.empty() || out == "-") {
    WriteData(page);
    return Finish(kDone);
  }
  std::string why;
  return WriteFile(out, page, WriteMode::kReplace, &why) ? Finish(kDone) : Failed(why);
}

int OneSheet(Session& session, const SheetArguments& arguments) {
  const OpenedCase opened(session, arguments.case_path);
  std::fputs(opened.Messages().c_str(), stderr);
  if (!opened.IsGood()) return kInputErrors;
  if (arguments.blank)
    return Deliver(BlankSheetHtml(MakeBenchReport(opened.with_found()), session.book().layers.names,
                                  opened.MakeSpeaker()),
                   arguments.out);
  return Deliver(PageOf(opened, opened.Report(), arguments), arguments.out);
}

// "broken/x.yaml" of a folder as "broken-x.html"; a number behind it where that is taken.
std::string FileNameFor(const std::string& path, const std::string& folder, std::set<std::string>& taken) {
  std::string name = fs::path(path).lexically_relative(folder).replace_extension().generic_string();
  for (char& c : name) {
    if (c == '/') c = '-';
  }
  std::string file = name + ".html";
  for (int number = 2; !taken.insert(file).second; ++number) file = fmt::format("{}-{}.html", name, number);
  return file;
}

// What came of one case of a folder.
struct Paged {
  IndexEntry entry;
  std::string messages, why;  // for stderr; `why`: its page could not be written
};

Paged PageInFolder(Session& session, const SheetArguments& arguments, const std::string& path,
                   const std::string& file) {
  const OpenedCase opened(session, path);
  Paged paged;
  paged.messages = opened.Messages();
  if (!opened.IsGood()) {
    paged.entry.case_id = fs::path(path).stem().string();
    paged.entry.error = "the case has errors; gearwhy rank says which.";
    return paged;
  }
  const SheetReport report = opened.Report();
  paged.entry = MakeIndexEntry(report, file, opened.MakeSpeaker());
  const std::string target = (fs::path(arguments.out) / file).string();
  WriteFile(target, PageOf(opened, report, arguments), WriteMode::kReplace,
            &paged.why);  // `why` stays empty when it is done
  return paged;
}

int SheetsOfFolder(Session& session, const SheetArguments& arguments) {
  if (arguments.out.empty() || arguments.out == "-" || arguments.blank) {
    fmt::print(
        stderr,
        "error: a folder of cases becomes a folder of pages; say which with `-o FOLDER`, without `--blank` "
        "[command-line]\n");
    return kBadCommand;
  }
  Diagnostics naming;
  const std::vector<std::string> paths = ExpandCases({arguments.case_path}, naming);
  session.Print(naming);
  if (naming.HasErrors()) return kInputErrors;
  std::error_code error;
  fs::create_directories(arguments.out, error);
  if (error)
    return Failed(fmt::format("the folder {} cannot be made: {}", InTicks(arguments.out), error.message()));
  std::set<std::string> taken = {"index.html"};
  std::vector<IndexEntry> entries;
  bool good = true;
  std::string why;
  InOrder work;
  for (const std::string& path : paths) {
    const std::string file = FileNameFor(path, arguments.case_path, taken);
    work.Add([&, path, file]() -> InOrder::HandOn {
      return [&, paged = PageInFolder(session, arguments, path, file)] {
        std::fputs(paged.messages.c_str(), stderr);
        good &= paged.entry.error.empty();
        if (why.empty()) why = paged.why;
        entries.push_back(paged.entry);
        return why.empty();
      };
    });
  }
  work.Finish();
  if (!why.empty()) return Failed(why);
  const std::string folder =
      fs::absolute(fs::path(arguments.case_path) / "").parent_path().filename().string();
  if (!WriteFile((fs::path(arguments.out) / "index.html").string(), IndexHtml(entries, folder),
                 WriteMode::kReplace, &why))
    return Failed(why);
  return Finish(good ? kDone : kInputErrors);
}

}  // namespace

int RunSheet(const SheetArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  std::error_code error;
  return fs::is_directory(arguments.case_path, error) ? SheetsOfFolder(*session, arguments)
                                                      : OneSheet(*session, arguments);
}

}  // namespace gearwhy
