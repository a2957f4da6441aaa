// gearwhy rank: the suspects of one case, several, a folder, or a stream.
#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <iostream>

#include "cli/commands.h"
#include "engine/render/json.h"
#include "engine/render/text.h"
#include "engine/text/read_file.h"

namespace gearwhy {
namespace {

// Collects or streams the answers in the format asked for.
class AnswerWriter {
 public:
  explicit AnswerWriter(const RankArguments& arguments, bool several)
      : arguments_(arguments), several_(several) {
    if (arguments_.format == Format::kJson && several_) WriteOut("[\n");
  }

  void Add(const RankReport& report, const LookNext& next, const Speaker& speaker) {
    if (arguments_.format == Format::kText) {
      RankTextOptions options;
      options.details = arguments_.details;
      options.suspects = arguments_.suspects;
      if (count_++ > 0) WriteOut(std::string(80, '-') + "\n\n");
      WriteOut(RankText(report, next, speaker, StyleOfStdout(), options));
    } else {
      AddJson(RankJson(report, next, speaker, Indent()));
    }
  }

  void AddFailed(const std::string& case_id, const Diagnostics& diagnostics, const Sources& sources) {
    if (arguments_.format != Format::kText) AddJson(FailedCaseJson(case_id, diagnostics, sources, Indent()));
  }

  void End() {
    if (arguments_.format == Format::kJson && several_) WriteOut(count_ > 0 ? "\n]\n" : "]\n");
  }

 private:
  int Indent() const { return arguments_.format == Format::kJson ? 2 : -1; }

  void AddJson(const std::string& json) {
    const bool in_list = arguments_.format == Format::kJson && several_;
    if (in_list && count_ > 0) WriteOut(",\n");
    WriteOut(in_list ? json : json + "\n");
    ++count_;
  }

  const RankArguments& arguments_;
  bool several_;
  int count_ = 0;
};

// One case on its way: read, diagnosed, answered. False when it had errors.
bool AnswerCase(Session& session, const std::optional<Case>& c, const std::string& id,
                Diagnostics& diagnostics, const RankArguments& arguments, AnswerWriter& answers) {
  const BeliefLimits limits;
  std::optional<Diagnosis> diagnosis;
  if (c) diagnosis = session.DiagnoseCase(*c, limits, diagnostics);
  session.Print(diagnostics);
  if (!diagnosis) {
    answers.AddFailed(id, diagnostics, session.sources());
    return false;
  }
  RankOptions options;
  if (arguments.details) options.suspects = 50;
  options.suspects = std::max(options.suspects, arguments.suspects);
  answers.Add(MakeRankReport(*diagnosis, session.shelf().FileOf(c->unit), limits, options),
              FindLookNext(*diagnosis), Speaker(*diagnosis, session.sources()));
  return true;
}

// One JSON object a line. JSON is YAML, so a line is read like a case file; what it is called stands in its
// `case`.
bool AnswerStream(Session& session, const RankArguments& arguments, AnswerWriter& answers) {
  bool good = true;
  std::string line;
  int read_error = 0;
  const auto next_line = [&] {
    errno = 0;
    const bool has_line = static_cast<bool>(std::getline(std::cin, line));
    if (std::ferror(stdin) != 0) read_error = errno != 0 ? errno : EIO;
    // What came of a line before the input broke off is no line.
    return has_line && read_error == 0;
  };
  for (int number = 1; next_line(); ++number) {
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    Diagnostics diagnostics;
    std::optional<Case> c;
    if (line.size() > kMaxCaseBytes) {
      diagnostics.Error({}, "too-large", fmt::format("line {} of the input is larger than 1 MiB", number));
    } else {
      const int source = session.sources().Add(fmt::format("(input line {})", number), line);
      c = session.ReadCaseText(source, "", diagnostics);
    }
    good &=
        AnswerCase(session, c, c ? c->id : fmt::format("line {}", number), diagnostics, arguments, answers);
  }
  if (read_error != 0) {
    fmt::print(stderr,
               "error: the input broke off: {}; the lines before were answered, what follows is missing "
               "[input-broken-off]\n",
               std::strerror(read_error));
    return false;
  }
  return good;
}

}  // namespace

std::vector<std::string> ExpandCases(const std::vector<std::string>& named, Diagnostics& diagnostics) {
  std::vector<std::string> paths;
  for (const std::string& name : named) {
    std::error_code error;
    if (!std::filesystem::is_directory(name, error)) {
      paths.push_back(name);
      continue;
    }
    const std::vector<std::string> files = ListYamlFiles(name, diagnostics);
    if (files.empty() && !diagnostics.HasErrors()) {
      diagnostics.Error({}, "no-cases", fmt::format("there is no YAML file in `{}`", name));
    }
    paths.insert(paths.end(), files.begin(), files.end());
  }
  return paths;
}

int RunRank(const RankArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  Diagnostics naming;
  const std::vector<std::string> paths = ExpandCases(arguments.cases, naming);
  session->Print(naming);
  bool good = !naming.HasErrors();
  const bool several = paths.size() != 1 || paths[0] == "-" || paths[0] != arguments.cases[0];
  AnswerWriter answers(arguments, several);
  for (const std::string& path : paths) {
    if (path == "-") {
      good &= AnswerStream(*session, arguments, answers);
      continue;
    }
    Diagnostics diagnostics;
    const std::optional<Case> c = session->ReadCase(path, diagnostics);
    good &=
        AnswerCase(*session, c, std::filesystem::path(path).stem().string(), diagnostics, arguments, answers);
  }
  answers.End();
  return Finish(good ? kDone : kInputErrors);
}

}  // namespace gearwhy
