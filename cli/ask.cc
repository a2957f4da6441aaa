// gearwhy ask: the interview, and the case kept in its file. The interview itself is a value
// (advise/interview.h); who answers is met by a front (ask_front.h).
#include <fmt/format.h>

#include <algorithm>
#include <csignal>
#include <filesystem>
#include <memory>
#include <optional>
#include <utility>

#include "cli/ask_front.h"
#include "cli/case_file.h"
#include "cli/commands.h"
#include "engine/api/interview_host.h"
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
        front_(arguments.json ? MakeJsonFront(session) : MakeTextFront(session)),
        file_(session) {}

  int Run();

 private:
  // On errors prints them and returns false.
  bool OpenFile(InterviewBeginning* beginning);
  std::shared_ptr<const InterviewHost> Host();
  ReadEnd Talk(Interview& interview);
  // Keeps what has changed. How it ends, where it does.
  std::optional<ReadEnd> Store(Interview& interview);
  std::optional<ReadEnd> AskToTryAgain();
  int End(const Interview& interview, ReadEnd end);
  // The command with which to go on, as a shell takes it.
  std::string CommandToGoOn() const;

  Session& session_;
  const AskArguments& arguments_;
  std::unique_ptr<AskFront> front_;
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
  WriteErr(fmt::format("error: {}\n", why));
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
    front_->Happened(interview);
    if (const auto end = Store(interview)) return *end;
    if (const auto end = front_->Put(interview)) return *end;
    if (interview.IsOver()) return ReadEnd::kLine;
    Reply reply;
    const ReadEnd end = front_->Read(interview.prompt(), &reply);
    if (end != ReadEnd::kLine) return end;
    interview = std::move(interview).Answer(reply);
  }
}

std::string Ask::CommandToGoOn() const {
  std::string command = "gearwhy ask";
  const auto add = [&](std::string_view option, const std::string& value) {
    if (!value.empty()) command += fmt::format(" {} {}", option, ShellWord(value));
  };
  add("--rules", arguments_.book.rules);
  for (const std::string& shop : arguments_.book.shop) add("--shop", shop);
  // A name that begins with a dash would be read as an option.
  const bool dashed = file_.path().starts_with('-');
  return command + (dashed ? " ./" : " ") + ShellWord(file_.path());
}

std::optional<ReadEnd> Ask::Store(Interview& interview) {
  if (interview.text().empty()) {  // not begun yet, or taken back to before it was
    file_.TakeBack();
    return std::nullopt;
  }
  while (interview.text() != file_.text() || try_again_) {
    try_again_ = false;
    std::string told;
    const CaseFile::Saving saving = file_.Save(interview.text(), interview.changes(), &told);
    if (saving == CaseFile::Saving::kDone) break;
    front_->Tell(AsSentence(told));
    if (saving == CaseFile::Saving::kFailed) {
      front_->Tell("The answer is kept here.");
      if (const auto end = AskToTryAgain()) return end;
      continue;
    }
    interview = std::move(interview).Answer({.kind = Reply::Kind::kCaseText, .text = file_.text()});
    front_->Happened(interview);
  }
  return std::nullopt;
}

std::optional<ReadEnd> Ask::AskToTryAgain() {
  Prompt prompt{.takes = ReplyForm::kOne,
                .options = {{"again", "try again"},
                            {"go_on", "go on, and try again after the next answer"},
                            {"leave", "leave without saving"}}};
  for (;; prompt.again = true) {
    front_->PutAside(prompt);
    Reply reply;
    if (const ReadEnd end = front_->Read(prompt, &reply); end != ReadEnd::kLine) return end;
    if (reply.word == PlainWord::kLeave) return ReadEnd::kLine;
    if (reply.kind == Reply::Kind::kOptions && reply.chosen.size() == 1) {
      try_again_ = reply.chosen[0] == 0;
      return reply.chosen[0] == 2 ? std::optional(ReadEnd::kLine) : std::nullopt;
    }
    prompt.since = {NotUnderstood{reply.text}};
  }
}

int Ask::End(const Interview& interview, ReadEnd end) {
  if (end == ReadEnd::kHungUp) return 128 + SIGHUP;
  AskEnding ending;
  ending.has_case = interview.c() != nullptr;
  const bool saved = ending.has_case && file_.IsSaved();
  if (saved) {
    ending.saved_in = file_.path();
    ending.go_on = CommandToGoOn();
  }
  front_->End(ending);
  const int code = Finish(ending.has_case && !saved ? kInputErrors : kDone);
  return end == ReadEnd::kInterrupted ? 128 + SIGINT : code;
}

int RunAsk(const AskArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  return Ask(*session, arguments).Run();
}

}  // namespace gearwhy
