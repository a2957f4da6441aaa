// Fuzz target: any lines as answers in an interview, typed by a person or, where they begin with a brace,
// written by a program. The case that comes of it must load.
#include <sstream>

#include "engine/advise/read_reply.h"
#include "engine/advise/reply_object.h"
#include "engine/api/interview_host.h"
#include "engine/render/interview_text.h"
#include "tests/fuzz/shipped_book.h"

namespace gearwhy {
namespace {

const OpenedBook& Lamp() {
  static const OpenedBook opened(GEARWHY_SOURCE_DIR "/tests/cli/golden/ask-new/book");
  return opened;
}

// Nothing where a program's answer is none.
std::optional<Reply> ReplyOf(const std::string& line, const Prompt& prompt, Sources& sources) {
  const Words& words = Lamp().book->rules().words;
  if (!line.starts_with("{")) return ReadReply(line, prompt, words);
  Diagnostics diagnostics;
  const auto object = ParseYaml(sources, sources.Add("reply", line), diagnostics);
  const auto reply = object ? ReadReplyObject(*object, prompt, words, diagnostics) : std::nullopt;
  MustHaveAnswered(reply.has_value(), diagnostics, sources);
  return reply;
}

void MustLoad(const std::string& text) {
  if (text.empty()) return;
  Sources sources(&Lamp().sources);
  Diagnostics diagnostics;
  const auto c =
      Lamp().book->ReadCase(sources, sources.Add("any.yaml", text), "", "/nonexistent", diagnostics);
  Must(c.has_value(), "the case of an interview loads");
}

}  // namespace
}  // namespace gearwhy

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace gearwhy;
  Sources sources(&Lamp().sources);
  const auto host = std::make_shared<InterviewHost>(HostOf(*Lamp().book, sources));
  Interview interview = Interview::Begin(host, {});
  InterviewText texts(Lamp().book->rules(), sources, {});
  std::istringstream lines(TextOf(data, size));
  int number = 0;
  for (std::string line; !interview.IsOver() && std::getline(lines, line) && number < 24; ++number) {
    const std::string page = texts.Happened(interview.prompt()) + texts.Put(interview.prompt()).Whole();
    Must(SafeText(page) == page, "a page is harmless");
    const auto reply = ReplyOf(line, interview.prompt(), sources);
    if (reply) interview = interview.Answer(*reply);
    MustLoad(interview.text());
  }
  return 0;
}
