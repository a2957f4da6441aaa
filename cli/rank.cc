// gearwhy rank: the suspects of one case, several, a folder, or a stream.
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cstring>
#include <optional>

#include "cli/batch.h"
#include "cli/commands.h"
#include "cli/input_lines.h"
#include "engine/text/at_once.h"

namespace gearwhy {
namespace {

// One JSON object a line. False when the input broke off.
bool AnswerStream(Batch& batch, Progress& progress, const StopSignal& stop) {
  InputLines lines(stop);
  std::string line;
  while (lines.Next(line)) {
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    if (!batch.AddLine(lines.number(), line)) return true;
  }
  if (lines.error() == 0) return true;
  batch.Wait();
  progress.Hide();
  WriteErr(
      fmt::format("error: the input broke off: {}; the lines before were answered, what follows is missing "
                  "[input-broken-off]\n",
                  std::strerror(lines.error())));
  return false;
}

// "500 cases: 497 answered, 3 not answered, 2 not exact; 35.2 s".
std::string SummaryText(const Tally& tally, bool resumed, double seconds) {
  std::string text = fmt::format("{} cases: {} answered, {} not answered, {} not exact", tally.all(),
                                 tally.answered, tally.not_answered, tally.not_exact);
  if (resumed) text += fmt::format(", {} answered before", tally.were_there);
  return text + fmt::format("; {:.1f} s\n", seconds);
}

int RankOne(const Answerer& answerer, const RankArguments& arguments, const std::string& path) {
  std::optional<AloneOnThread> alone;
  if (arguments.jobs == 1) alone.emplace();
  Progress none(false, {});
  AnswerWriter writer(arguments.format, false, none);
  writer.Add(answerer.File(path));
  return writer.End().good ? kDone : kInputErrors;
}

int RankSeveral(const Answerer& answerer, const RankArguments& arguments,
                const std::vector<std::string>& paths) {
  const bool is_stream = std::find(paths.begin(), paths.end(), "-") != paths.end();
  const StopSignal stop;
  Progress progress(arguments.progress, is_stream ? std::nullopt : std::optional(paths.size()));
  AnswerWriter writer(arguments.format, true, progress);
  Batch batch(answerer, writer, stop,
              arguments.jobs > 0 ? static_cast<std::size_t>(arguments.jobs) : Cores());
  bool whole = true;
  for (const std::string& path : paths) {
    if (stop.Came()) break;
    if (path == "-") {
      whole &= AnswerStream(batch, progress, stop);
    } else if (!batch.AddFile(path)) {
      break;
    }
  }
  batch.Finish();
  const Tally& tally = writer.End();
  if (stop.Came())
    WriteErr(fmt::format(
        "error: stopped after {} cases, whose answers are whole; what follows is missing{} [stopped]\n",
        tally.all(), arguments.resume.empty() ? "" : "; the same command goes on with it"));
  if (arguments.summary || (tally.all() > 1 && ::isatty(STDERR_FILENO) != 0))
    WriteErr(SummaryText(tally, !arguments.resume.empty(), progress.seconds()));
  return stop.Came() ? stop.exit_code() : whole && tally.good ? kDone : kInputErrors;
}

}  // namespace

int RunRank(const RankArguments& arguments) {
  if (!arguments.resume.empty() && arguments.format != Format::kJsonl) {
    WriteErr(
        "error: answers are gone on with as JSON lines alone: say --format jsonl as well [command-line]\n");
    return kBadCommand;
  }
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  Diagnostics naming;
  const std::vector<std::string> paths = ExpandCases(arguments.cases, naming);
  session->Print(naming);
  std::unique_ptr<AnsweredBefore> before;
  if (!arguments.resume.empty()) {
    before = AnsweredBefore::Open(arguments.resume);
    if (before == nullptr) return kInputErrors;
  }
  const Answerer answerer(*session, arguments, before.get());
  const bool several =
      before != nullptr || paths.size() != 1 || paths[0] == "-" || paths[0] != arguments.cases[0];
  const int code = several ? RankSeveral(answerer, arguments, paths) : RankOne(answerer, arguments, paths[0]);
  return Finish(code == kDone && naming.HasErrors() ? kInputErrors : code);
}

}  // namespace gearwhy
