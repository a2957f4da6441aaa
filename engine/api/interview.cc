// The interview at the door: lines in, pages out, each a value. The interview itself is in
// advise/interview.h.
#include "engine/advise/interview.h"

#include <mutex>

#include "engine/advise/read_reply.h"
#include "engine/api/inside.h"
#include "engine/api/interview_host.h"
#include "engine/render/interview_text.h"

namespace gearwhy::api {
namespace {

// What all interviews that go back to one beginning have in common. Texts are read into `sources`, by one
// thread at a time.
struct Host {
  explicit Host(std::shared_ptr<const Book::Inside> of)
      : book(std::move(of)), sources(&book->sources), asks(HostOf(*book->book, sources)) {}

  std::shared_ptr<const Book::Inside> book;
  Sources sources;
  std::mutex one_at_a_time;
  InterviewHost asks;
};

}  // namespace

struct Interview::Inside {
  std::shared_ptr<Host> host;
  gearwhy::Interview interview;
  InterviewText texts;
  std::string page;
  Messages messages;

  // Puts the prompt that stands now.
  void Show();
};

void Interview::Inside::Show() {
  messages.clear();
  for (const Happening& happening : interview.prompt().since) {
    if (const auto* diagnostics = std::get_if<Diagnostics>(&happening))
      Tell(*diagnostics, host->sources, &messages);
  }
  page = texts.Happened(interview.prompt());
  page += texts.Put(interview.prompt()).Whole();
}

std::optional<Interview> Book::Begin(const InterviewOf& of, Messages* messages) const {
  const auto host = std::make_shared<Host>(inside_);
  // The interview keeps what it asks of its host, and the host with it.
  const std::shared_ptr<const InterviewHost> asks(host, &host->asks);
  auto inside = std::make_shared<Interview::Inside>(Interview::Inside{
      host,
      gearwhy::Interview::Begin(asks, {.text = of.case_text, .unit = of.unit, .name = of.name}),
      InterviewText(inside_->book->rules(), host->sources, StyleOf(of.width)),
      "",
      {}});
  inside->Show();
  if (messages != nullptr)
    messages->insert(messages->end(), inside->messages.begin(), inside->messages.end());
  if (inside->interview.HasFailed()) return std::nullopt;
  Interview begun;
  begun.inside_ = std::move(inside);
  return begun;
}

Interview Interview::Answer(const std::string& line) const {
  const std::lock_guard lock(inside_->host->one_at_a_time);
  auto next = std::make_shared<Inside>(*inside_);
  next->interview = inside_->interview.Answer(
      ReadReply(line, inside_->interview.prompt(), next->host->book->book->rules().words));
  next->Show();
  Interview answered;
  answered.inside_ = std::move(next);
  return answered;
}

const std::string& Interview::page() const { return inside_->page; }
const Messages& Interview::messages() const { return inside_->messages; }
const std::string& Interview::case_text() const { return inside_->interview.text(); }
bool Interview::IsOver() const { return inside_->interview.IsOver(); }

std::vector<std::string> Interview::options() const {
  std::vector<std::string> ids;
  for (const gearwhy::Option& option : inside_->interview.prompt().options) ids.push_back(option.id);
  return ids;
}

}  // namespace gearwhy::api
