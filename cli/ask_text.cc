// gearwhy ask, for a person: prompts as text, answers as they are typed.
#include <fmt/format.h>

#include <utility>

#include "cli/ask_front.h"
#include "cli/screen.h"
#include "engine/advise/read_reply.h"
#include "engine/render/interview_text.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

class TextFront : public AskFront {
 public:
  explicit TextFront(Session& session)
      : session_(session), style_(StyleOfStdout()), texts_(session.book(), session.sources(), style_) {}

  void Happened(const Interview& interview) override {
    style_ = StyleOfStdout();
    texts_.SetStyle(style_);
    for (const Happening& happening : interview.prompt().since) {
      if (const auto* diagnostics = std::get_if<Diagnostics>(&happening)) session_.Print(*diagnostics);
    }
    happened_ += texts_.Happened(interview.prompt());
  }

  void Tell(const std::string& says) override {
    Page page(style_);
    page.Paragraph("", says);
    WriteOut(std::exchange(happened_, "") + page.text());
  }

  std::optional<ReadEnd> Put(const Interview& interview) override {
    const std::string happened = std::exchange(happened_, "");
    Prompt prompt = interview.prompt();
    if (!prompt.again) {
      const PromptText put = texts_.Put(prompt);
      return screen_.Ask(happened + put.before, put.question, &typed_);
    }
    if (!screen_.WouldHide(happened)) return screen_.Tell(happened, &typed_);
    if (const auto end = screen_.Tell(happened, &typed_); end || typed_) return end;
    prompt.again = false;
    return screen_.Ask("", texts_.Put(prompt).question, &typed_);
  }

  ReadEnd Read(const Prompt& prompt, Reply* reply) override {
    std::string line;
    if (typed_) {
      line = *std::exchange(typed_, std::nullopt);
    } else if (const ReadEnd end = reader_.Read(AnswerLabel(prompt), &line); end != ReadEnd::kLine) {
      return end;
    }
    *reply = ReadReply(line, prompt, session_.book().words);
    return ReadEnd::kLine;
  }

  void PutAside(const Prompt& prompt) override {
    WriteOut(texts_.Happened(prompt) + texts_.Put(prompt).Whole());
  }

  void End(const AskEnding& ending) override {
    if (!ending.saved_in.empty()) {
      Tell(fmt::format("Saved in {}. To go on later:", SafeLine(ending.saved_in)));
      WriteOut(fmt::format("  {}\n", ending.go_on));
    } else {
      Tell(ending.has_case ? "The last answers are not saved." : "Nothing was saved.");
    }
  }

 private:
  Session& session_;
  TextStyle style_;
  LineReader reader_;
  Screen screen_{reader_};
  InterviewText texts_;
  std::string happened_;
  std::optional<std::string> typed_;  // while pages were read
};

}  // namespace

std::unique_ptr<AskFront> MakeTextFront(Session& session) { return std::make_unique<TextFront>(session); }

}  // namespace gearwhy
