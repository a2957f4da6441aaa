// gearwhy rank: the suspects of one case, several, a folder, or a stream.
#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <functional>
#include <iostream>

#include "cli/commands.h"
#include "engine/render/json.h"
#include "engine/render/rules_text.h"
#include "engine/render/text.h"
#include "engine/text/in_order.h"
#include "engine/text/read_file.h"

namespace gearwhy {
namespace {

// What came of one case.
struct Answered {
  bool good = false;
  std::string answer;    // as it leaves; empty when there is none in this format
  std::string messages;  // for stderr
};

// From the texts of cases to answers.
class Answerer {
 public:
  Answerer(Session& session, const RankArguments& arguments) : session_(session), arguments_(arguments) {}

  Answered File(const std::string& path) const {
    Sources sources(&session_.sources());
    Diagnostics diagnostics;
    const auto source = ReadSource(path, path, kMaxCaseBytes, sources, diagnostics);
    const std::string id = std::filesystem::path(path).stem().string();
    std::optional<Case> c;
    if (source) c = session_.opened().ReadCase(sources, *source, id, FolderOf(path), diagnostics);
    return Answer(c, id, sources, diagnostics);
  }

  // One JSON object. JSON is YAML, so a line is read like a case file; what it is called stands in its
  // `case`.
  Answered Line(int number, std::string line) const {
    Sources sources(&session_.sources());
    Diagnostics diagnostics;
    std::optional<Case> c;
    if (line.size() > kMaxCaseBytes) {
      diagnostics.Error({}, "too-large", fmt::format("line {} of the input is larger than 1 MiB", number));
    } else {
      const int source = sources.Add(fmt::format("(input line {})", number), std::move(line));
      c = session_.opened().ReadCase(sources, source, "", "", diagnostics);
    }
    return Answer(c, c ? c->id : fmt::format("line {}", number), sources, diagnostics);
  }

 private:
  Answered Answer(const std::optional<Case>& c, const std::string& id, const Sources& sources,
                  Diagnostics& diagnostics) const {
    std::optional<Diagnosis> diagnosis;
    if (c) diagnosis = session_.DiagnoseCase(*c, {}, diagnostics);
    Answered answered{diagnosis.has_value(), "", RenderDiagnostics(diagnostics, sources)};
    const int indent = arguments_.format == Format::kJson ? 2 : -1;
    const bool text = arguments_.format == Format::kText;
    if (!diagnosis) {
      if (!text) answered.answer = FailedCaseJson(id, diagnostics, sources, indent);
      return answered;
    }
    RankOptions options;
    if (arguments_.details) options.suspects = 50;
    options.suspects = std::max(options.suspects, arguments_.suspects);
    const RankReport report = MakeRankReport(*diagnosis, session_.shelf().FileOf(c->unit), {}, options);
    const LookNext next = FindLookNext(*diagnosis, 3, text ? &report : nullptr);
    const Speaker speaker(*diagnosis, sources);
    constexpr int kShakings = 100;
    std::optional<Steadiness> steady;
    if (arguments_.steady && !report.suspects.empty())
      steady = SteadinessOf(*diagnosis, report.suspects[0].event, kShakings);
    RankTextOptions text_options;
    text_options.details = arguments_.details;
    text_options.suspects = arguments_.suspects;
    answered.answer = !text ? RankJson(report, next, speaker, indent, steady ? &*steady : nullptr)
                      : arguments_.brief ? BriefText(report.title, report.case_id, report.exactness,
                                                     next.verdict, speaker, StyleOfStdout())
                                         : RankText(report, next, speaker, StyleOfStdout(), text_options);
    if (text && steady) answered.answer += SteadyText(*steady, *diagnosis, speaker, StyleOfStdout());
    return answered;
  }

  Session& session_;
  const RankArguments& arguments_;
};

// Answers on their way out, one after another. False when they no longer get there.
class AnswerWriter {
 public:
  AnswerWriter(Format format, bool several) : format_(format), is_list_(format == Format::kJson && several) {
    if (is_list_) WriteData("[\n");
  }

  bool Add(const Answered& answered) {
    good_ &= answered.good;
    WriteErr(answered.messages);
    if (answered.answer.empty()) return true;
    bool written = true;
    if (count_++ > 0 && is_list_) written = WriteData(",\n");
    if (count_ > 1 && format_ == Format::kText) written = WriteOut(std::string(80, '-') + "\n\n");
    if (format_ == Format::kText) return WriteOut(answered.answer) && written;
    return WriteData(is_list_ ? answered.answer : answered.answer + "\n") && written;
  }

  // Whether every case could be answered.
  bool End() {
    if (is_list_) WriteData(count_ > 0 ? "\n]\n" : "]\n");
    return good_;
  }

 private:
  const Format format_;
  const bool is_list_;
  int count_ = 0;
  bool good_ = true;
};

// Every case on a core of its own, the answers in the order of the cases.
class AnswerLine {
 public:
  AnswerLine(const Answerer& answerer, AnswerWriter& writer) : answerer_(answerer), writer_(writer) {}

  bool AddFile(const std::string& path) {
    return Add([this, path] { return answerer_.File(path); });
  }
  bool AddLine(int number, const std::string& line) {
    return Add([this, number, line] { return answerer_.Line(number, line); });
  }
  void Wait() { work_.Wait(); }
  void Finish() { work_.Finish(); }

 private:
  bool Add(std::function<Answered()> answer) {
    return work_.Add([this, answer = std::move(answer)]() -> InOrder::HandOn {
      return [this, answered = answer()] { return writer_.Add(answered); };
    });
  }

  const Answerer& answerer_;
  AnswerWriter& writer_;
  InOrder work_;
};

// The next line of the standard input, without its end. Of a longer one than a case may be no more is kept
// than shows that it is too long.
bool ReadLine(std::string& line) {
  line.clear();
  int c = 0;
  while ((c = ::getc_unlocked(stdin)) != EOF && c != '\n') {
    if (line.size() <= kMaxCaseBytes) line.push_back(static_cast<char>(c));
  }
  return c != EOF || !line.empty();
}

// One JSON object a line. False when the input broke off.
bool AnswerStream(AnswerLine& answers) {
  std::string line;
  int read_error = 0;
  const auto next_line = [&] {
    errno = 0;
    const bool has_line = ReadLine(line);
    if (std::ferror(stdin) != 0) read_error = errno != 0 ? errno : EIO;
    // What came of a line before the input broke off is no line.
    return has_line && read_error == 0;
  };
  for (int number = 1; next_line(); ++number) {
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    if (!answers.AddLine(number, line)) return true;
  }
  answers.Wait();
  if (read_error == 0) return true;
  WriteErr(
      fmt::format("error: the input broke off: {}; the lines before were answered, what follows is missing "
                  "[input-broken-off]\n",
                  std::strerror(read_error)));
  return false;
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
  const Answerer answerer(*session, arguments);
  AnswerWriter writer(arguments.format, several);
  if (!several) {
    writer.Add(answerer.File(paths[0]));  // on all cores
  } else {
    AnswerLine answers(answerer, writer);
    for (const std::string& path : paths) {
      if (path == "-") {
        good &= AnswerStream(answers);
      } else if (!answers.AddFile(path)) {
        break;
      }
    }
    answers.Finish();
  }
  good &= writer.End();
  return Finish(good ? kDone : kInputErrors);
}

}  // namespace gearwhy
