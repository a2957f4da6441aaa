#include "cli/rank_answer.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <utility>

#include "cli/input_lines.h"
#include "engine/render/json.h"
#include "engine/render/rules_text.h"
#include "engine/render/text.h"
#include "engine/text/read_file.h"
#include "engine/text/sha256.h"

namespace gearwhy {
namespace {

constexpr int kShakings = 100;

RankOptions OptionsOf(const RankArguments& arguments) {
  RankOptions options;
  if (arguments.details) options.suspects = 50;
  options.suspects = std::max(options.suspects, arguments.suspects);
  options.reasons = !arguments.only_chances;
  return options;
}

}  // namespace

// A case that was read, or was not.
struct Answerer::Read {
  explicit Read(const Sources& base) : first(base.size()), sources(&base) {}

  const int first;  // the index of the first text that is its own
  std::string id = "";
  int line = 0;  // of the input; 0: it is a file
  Sources sources;
  Diagnostics diagnostics = {};
  std::optional<Case> c = {};
};

Answerer::Answerer(Session& session, const RankArguments& arguments, AnsweredBefore* before)
    : session_(session), arguments_(arguments), before_(before) {
  if (arguments.format != Format::kJsonl) return;
  Diagnostics told_already;
  asked_ = fmt::format("gearwhy {} {}\nrulebook {}\nsuspects {}{}{}\n", GEARWHY_VERSION, kJsonFormat,
                       HashOf(FoldersOf(arguments.book), told_already), OptionsOf(arguments).suspects,
                       arguments.only_chances ? " only chances" : "", arguments.steady ? " steady" : "");
}

Answered Answerer::File(const std::string& path) const {
  Read read(session_.sources());
  read.id = std::filesystem::path(path).stem().string();
  const auto source = ReadSource(path, path, kMaxCaseBytes, read.sources, read.diagnostics);
  if (source)
    read.c = session_.opened().ReadCase(read.sources, *source, read.id, FolderOf(path), read.diagnostics);
  return Answer(read);
}

Answered Answerer::Line(int number, std::string line) const {
  Read read(session_.sources());
  read.line = number;
  const std::string named = CaseNamedIn(line);
  read.id = named.empty() ? fmt::format("line {}", number) : named;
  const bool is_too_large = line.size() > kMaxCaseBytes;
  const int source = read.sources.Add(named.empty() ? fmt::format("(input line {})", number)
                                                    : fmt::format("(input line {}, {})", number, named),
                                      std::move(line));
  if (is_too_large) {
    read.diagnostics.Error({}, "too-large", fmt::format("line {} of the input is larger than 1 MiB", number));
  } else {
    read.c = session_.opened().ReadCase(read.sources, source, "", "", read.diagnostics);
  }
  return Answer(read);
}

Answered Answerer::Answer(Read& read) const {
  if (before_ != nullptr) {
    if (const auto good = before_->Take(MadeFrom(read))) return {.good = *good, .was_there = true};
  }
  std::optional<Diagnosis> diagnosis;
  if (read.c) diagnosis = session_.DiagnoseCase(*read.c, {}, read.diagnostics);
  Answered answered;
  answered.messages = RenderDiagnostics(read.diagnostics, read.sources);
  answered.good = diagnosis.has_value();
  if (!diagnosis) {
    answered.answer = Failed(read);
    return answered;
  }
  const RankReport report =
      MakeRankReport(*diagnosis, session_.shelf().FileOf(read.c->unit), {}, OptionsOf(arguments_));
  answered.exact = report.exactness.exact;
  answered.answer = Written(read, *diagnosis, report);
  return answered;
}

std::string Answerer::Failed(const Read& read) const {
  if (arguments_.format == Format::kText) return "";
  return FailedCaseJson(read.id, read.diagnostics, read.sources, indent(), read.line, MadeFrom(read));
}

std::string Answerer::Written(const Read& read, const Diagnosis& diagnosis, const RankReport& report) const {
  // Its texts under the names that an answer calls them.
  Sources named(&session_.sources());
  for (int source = read.first; source < read.sources.size(); ++source)
    named.Announce(source == read.first && read.line > 0 ? fmt::format("(case {})", read.c->id)
                                                         : read.sources.Name(source));
  const Speaker speaker(diagnosis, named);
  if (arguments_.format == Format::kText) return Text(diagnosis, report, speaker);
  if (arguments_.only_chances) return ChancesJson(report, speaker, indent(), MadeFrom(read));
  const LookNext next = FindLookNext(diagnosis, report);
  std::optional<Steadiness> steady;
  if (arguments_.steady && !report.suspects.empty())
    steady = SteadinessOf(diagnosis, report.suspects[0].event, kShakings);
  return RankJson(report, next, speaker, indent(), steady ? &*steady : nullptr, MadeFrom(read));
}

std::string Answerer::Text(const Diagnosis& diagnosis, const RankReport& report,
                           const Speaker& speaker) const {
  const TextStyle style = StyleOfStdout();
  if (arguments_.only_chances) return ChancesText(report, arguments_.suspects, speaker, style);
  const LookNext next = FindLookNext(diagnosis, report);
  RankTextOptions options;
  options.details = arguments_.details;
  options.suspects = arguments_.suspects;
  std::string text = arguments_.brief ? BriefText(report.title, report.case_id, report.exactness,
                                                  next.verdict, speaker, style)
                                      : RankText(report, next, speaker, style, options);
  if (arguments_.steady && !report.suspects.empty())
    text +=
        SteadyText(SteadinessOf(diagnosis, report.suspects[0].event, kShakings), diagnosis, speaker, style);
  return text;
}

std::string Answerer::MadeFrom(const Read& read) const {
  if (asked_.empty()) return "";
  std::string all = asked_ + fmt::format("case {}\n", read.line > 0 ? "" : read.id);
  for (int source = read.first; source < read.sources.size(); ++source)
    all += Sha256Hex(read.sources.Text(source)) + "\n";
  return Sha256Hex(all);
}

}  // namespace gearwhy
