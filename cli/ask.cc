// gearwhy ask: the interview at a terminal, or through a pipe. The interview itself is a value
// (advise/interview.h); here lines are read, prompts shown, and the case is kept in its file.
#include <fmt/format.h>

#include <algorithm>
#include <csignal>
#include <filesystem>
#include <memory>
#include <optional>
#include <utility>

#include "cli/case_file.h"
#include "cli/commands.h"
#include "cli/line_reader.h"
#include "cli/screen.h"
#include "engine/advise/read_reply.h"
#include "engine/api/interview_host.h"
#include "engine/render/interview_text.h"
#include "engine/render/say.h"
#include "engine/text/ascii.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

class Ask {
 public:
  Ask(Session& session, const AskArguments& arguments)
      : session_(session),
        arguments_(arguments),
        style_(StyleOfStdout()),
        texts_(session.book(), session.sources(), style_),
        file_(session) {}

  int Run();

 private:
  // On errors prints them and returns false.
  bool OpenFile(InterviewBeginning* beginning);
  std::shared_ptr<const InterviewHost> Host();
  ReadEnd Talk(Interview& interview);
  // Keeps what has changed. How it ends, where it does.
  // `happened` has been shown where it is empty afterwards.
  std::optional<ReadEnd> Store(Interview& interview, std::string* happened);
  std::optional<ReadEnd> AskToTryAgain();
  int End(const Interview& interview, ReadEnd end);
  std::string HappenedText(const Interview& interview);
  // Shows the prompt, and what has happened before it. What was typed while reading stands in `typed`.
  std::optional<ReadEnd> Show(Prompt prompt, const std::string& happened, std::optional<std::string>* typed);
  // The command with which to go on, as a shell takes it.
  std::string CommandToGoOn() const;
  void Tell(const std::string& text) const;

  Session& session_;
  const AskArguments& arguments_;
  TextStyle style_;
  LineReader reader_;
  Screen screen_{reader_};
  InterviewText texts_;
  CaseFile file_;
  bool try_again_ = false;  // to save
};

// The error of a path at which no new case can be kept; empty where it can.
std::string WhyNotAt(const std::string& path) {
  std::error_code error;
  if (!path.ends_with(".yaml") && !path.ends_with(".yml"))
    return "a case is kept in a file whose name ends with `.yaml`";
  if (CaseIdOf(path).empty()) return "a case is called by letters, digits, `-`, `_` and `.` only";
  if (fs::exists(path, error)) return fmt::format("{} is there already", InTicks(path));
  const fs::path folder = fs::path(path).parent_path();
  if (!folder.empty() && !fs::is_directory(folder, error))
    return fmt::format("there is no folder {}", InTicks(folder.string()));
  return "";
}

// As a shell reads it as one word.
std::string ShellWord(const std::string& text) {
  const auto plain = [](char c) {
    return IsLetter(c) || IsDigit(c) || std::string_view("_-./+=:,@%").find(c) != std::string_view::npos;
  };
  if (!text.empty() && std::all_of(text.begin(), text.end(), plain)) return text;
  std::string word = "'";
  bool coded = false;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    coded |= byte < 0x20 || byte == 0x7f;
    word += c == '\'' ? "'\\''" : std::string(1, c);
  }
  if (!coded) return SafeLine(word + "'");
  word = "$'";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    word += byte < 0x20 || byte == 0x7f ? fmt::format("\\x{:02x}", byte)
            : c == '\'' || c == '\\'    ? fmt::format("\\{}", c)
                                        : std::string(1, c);
  }
  return word + "'";
}

bool Refuse(const std::string& why) {
  fmt::print(stderr, "error: {}\n", why);
  return false;
}

}  // namespace

bool Ask::OpenFile(InterviewBeginning* beginning) {
  std::error_code error;
  const std::string& named = arguments_.case_path;
  const std::string& save_path = arguments_.save_path;
  beginning->unit = arguments_.unit;
  if (named.empty() || (!fs::exists(named, error) && save_path.empty())) {
    const std::string path = !save_path.empty() ? save_path : named;
    if (path.empty()) return true;
    if (const std::string why = WhyNotAt(path); !why.empty())
      return Refuse(fmt::format("{} [cannot-save-there]", why));
    file_.Begin(path);
    beginning->name = CaseIdOf(path);
    return true;
  }
  const auto c = file_.Read(named);
  if (!c) return false;
  if (!CanChangeCaseText(file_.text(), session_.book().words)) {
    return Refuse(fmt::format(
        "{} is written in braces, so no answer could be put into it; write it a key a line, as in "
        "`case: {}` [case-in-braces]",
        InTicks(named), c->id));
  }
  if (!save_path.empty() && save_path != named) {
    std::string why;
    if (fs::exists(save_path, error)) why = fmt::format("{} is there already", InTicks(save_path));
    if (!why.empty() || !file_.MoveTo(save_path, &why))
      return Refuse(fmt::format("{} [cannot-save-there]", why));
  }
  if (!arguments_.unit.empty() && arguments_.unit != c->unit) {
    return Refuse(fmt::format("the case is of the unit {}; --unit is for new cases [unit-of-new-case]",
                              InTicks(c->unit)));
  }
  beginning->text = file_.text();
  beginning->name = CaseIdOf(file_.path());
  return true;
}

std::shared_ptr<const InterviewHost> Ask::Host() {
  auto host = std::make_shared<InterviewHost>(HostOf(session_.opened(), session_.sources()));
  host->read_case = [this](const std::string& name, const std::string& text, Diagnostics& diagnostics) {
    if (file_.path().empty()) file_.Begin(name + ".yaml", false);
    return file_.ReadText(text, diagnostics);
  };
  host->is_taken = [](const std::string& name) {
    std::error_code error;
    return fs::exists(name + ".yaml", error);
  };
  return host;
}

int Ask::Run() {
  InterviewBeginning beginning;
  if (!OpenFile(&beginning)) return Finish(kInputErrors);
  Interview interview = Interview::Begin(Host(), beginning);
  const ReadEnd end = Talk(interview);
  return interview.HasFailed() ? Finish(kInputErrors) : End(interview, end);
}

ReadEnd Ask::Talk(Interview& interview) {
  for (;;) {
    std::optional<std::string> typed;
    std::string happened = HappenedText(interview);
    if (const auto end = Store(interview, &happened)) return *end;
    if (const auto end = Show(interview.prompt(), happened, &typed)) return *end;
    if (interview.IsOver()) return ReadEnd::kLine;
    std::string line;
    const ReadEnd end = typed ? ReadEnd::kLine : reader_.Read(AnswerLabel(interview.prompt()), &line);
    if (end != ReadEnd::kLine) return end;
    const Reply reply = ReadReply(typed ? *typed : line, interview.prompt(), session_.book().words);
    interview = std::move(interview).Answer(reply);
  }
}

std::optional<ReadEnd> Ask::Show(Prompt prompt, const std::string& happened,
                                 std::optional<std::string>* typed) {
  if (!prompt.again) {
    const PromptText put = texts_.Put(prompt);
    return screen_.Ask(happened + put.before, put.question, typed);
  }
  if (!screen_.WouldHide(happened)) return screen_.Tell(happened, typed);
  if (const auto end = screen_.Tell(happened, typed); end || *typed) return end;
  prompt.again = false;
  return screen_.Ask("", texts_.Put(prompt).question, typed);
}

std::string Ask::HappenedText(const Interview& interview) {
  style_ = StyleOfStdout();
  texts_.SetStyle(style_);
  for (const Happening& happening : interview.prompt().since) {
    if (const auto* diagnostics = std::get_if<Diagnostics>(&happening)) session_.Print(*diagnostics);
  }
  return texts_.Happened(interview.prompt());
}

void Ask::Tell(const std::string& text) const {
  Page page(style_);
  page.Paragraph("", text);
  WriteOut(page.text());
}

std::string Ask::CommandToGoOn() const {
  std::string command = "gearwhy ask";
  const auto add = [&](std::string_view option, const std::string& value) {
    if (!value.empty()) command += fmt::format(" {} {}", option, ShellWord(value));
  };
  add("--rules", arguments_.book.rules);
  add("--shop", arguments_.book.shop);
  // A name that begins with a dash would be read as an option.
  const bool dashed = file_.path().starts_with('-');
  return command + (dashed ? " ./" : " ") + ShellWord(file_.path());
}

std::optional<ReadEnd> Ask::Store(Interview& interview, std::string* happened) {
  if (interview.text().empty()) {  // not begun yet, or taken back to before it was
    file_.TakeBack();
    return std::nullopt;
  }
  while (interview.text() != file_.text() || try_again_) {
    try_again_ = false;
    std::string told;
    const CaseFile::Saving saving = file_.Save(interview.text(), interview.changes(), &told);
    if (saving == CaseFile::Saving::kDone) break;
    WriteOut(std::exchange(*happened, ""));
    Tell(AsSentence(told));
    if (saving == CaseFile::Saving::kFailed) {
      Tell("The answer is kept here.");
      if (const auto end = AskToTryAgain()) return end;
      continue;
    }
    interview = std::move(interview).Answer({.kind = Reply::Kind::kCaseText, .text = file_.text()});
    *happened = HappenedText(interview);
  }
  return std::nullopt;
}

std::optional<ReadEnd> Ask::AskToTryAgain() {
  Prompt prompt{.takes = ReplyForm::kOne,
                .options = {{"again", "try again"},
                            {"go_on", "go on, and try again after the next answer"},
                            {"leave", "leave without saving"}}};
  for (;; prompt.again = true) {
    WriteOut(texts_.Put(prompt).Whole());
    std::string line;
    const ReadEnd end = reader_.Read(AnswerLabel(prompt), &line);
    if (end != ReadEnd::kLine) return end;
    const Reply reply = ReadReply(line, prompt, session_.book().words);
    if (reply.word == PlainWord::kLeave) return ReadEnd::kLine;
    if (reply.kind == Reply::Kind::kOptions && reply.chosen.size() == 1) {
      try_again_ = reply.chosen[0] == 0;
      return reply.chosen[0] == 2 ? std::optional(ReadEnd::kLine) : std::nullopt;
    }
    prompt.since = {NotUnderstood{reply.text}};
    WriteOut(texts_.Happened(prompt));
  }
}

int Ask::End(const Interview& interview, ReadEnd end) {
  if (end == ReadEnd::kHungUp) return 128 + SIGHUP;
  const bool begun = interview.c() != nullptr;
  if (begun && file_.IsSaved()) {
    Tell(fmt::format("Saved in {}. To go on later:", SafeLine(file_.path())));
    WriteOut(fmt::format("  {}\n", CommandToGoOn()));
  } else {
    Tell(begun ? "The last answers are not saved." : "Nothing was saved.");
  }
  const int code = Finish(begun && !file_.IsSaved() ? kInputErrors : kDone);
  return end == ReadEnd::kInterrupted ? 128 + SIGINT : code;
}

int RunAsk(const AskArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  return Ask(*session, arguments).Run();
}

}  // namespace gearwhy
