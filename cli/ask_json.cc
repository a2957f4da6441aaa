// gearwhy ask --json, for a program: each prompt one line of JSON, each answer another.
#include <utility>

#include "cli/ask_front.h"
#include "engine/advise/reply_object.h"
#include "engine/render/json_interview.h"

namespace gearwhy {
namespace {

class JsonFront : public AskFront {
 public:
  explicit JsonFront(Session& session) : session_(session) {}

  void Happened(const Interview& interview) override {
    for (const Happening& happening : interview.prompt().since) since_.push_back(happening);
  }

  void Tell(const std::string& says) override { since_.emplace_back(Told{says}); }

  std::optional<ReadEnd> Put(const Interview& interview) override {
    if (!interview.IsOver()) Write(interview.prompt(), interview.c().get(), session_.sources());
    return std::nullopt;
  }

  ReadEnd Read(const Prompt& prompt, Reply* reply) override {
    for (;;) {
      std::string line;
      if (const ReadEnd end = reader_.Read("", &line); end != ReadEnd::kLine) return end;
      Diagnostics diagnostics;
      Sources texts(&session_.sources());
      const auto object = ParseYaml(texts, texts.Add("reply", line), diagnostics);
      auto read =
          object ? ReadReplyObject(*object, prompt, session_.book().words, diagnostics) : std::nullopt;
      if (read) {
        *reply = std::move(*read);
        return ReadEnd::kLine;
      }
      since_.emplace_back(std::move(diagnostics));
      Prompt again = prompt;
      again.again = true;
      Write(again, nullptr, texts);
    }
  }

  void PutAside(const Prompt& prompt) override {
    since_.insert(since_.end(), prompt.since.begin(), prompt.since.end());
    Write(prompt, nullptr, session_.sources());
  }

  void End(const AskEnding& ending) override {
    WriteData(EndJson(since_, ending.saved_in, ending.go_on, session_.book(), session_.sources()) + "\n");
  }

 private:
  void Write(Prompt prompt, const Case* c, const Sources& texts) {
    prompt.since = std::exchange(since_, {});
    WriteData(PromptJson(prompt, c, session_.book(), texts) + "\n");
  }

  Session& session_;
  LineReader reader_{LineReader::Of::kProgram};
  std::vector<Happening> since_;
};

}  // namespace

std::unique_ptr<AskFront> MakeJsonFront(Session& session) { return std::make_unique<JsonFront>(session); }

}  // namespace gearwhy
