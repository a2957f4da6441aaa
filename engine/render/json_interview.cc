#include "engine/render/json_interview.h"

#include "engine/render/json_parts.h"
#include "engine/render/text.h"

namespace gearwhy {
namespace {

const char* NameOf(PromptKind kind) {
  switch (kind) {
    case PromptKind::kUnit:
      return "unit";
    case PromptKind::kVariant:
      return "variant";
    case PromptKind::kVersion:
      return "version";
    case PromptKind::kComplaint:
      return "complaint";
    case PromptKind::kList:
      return "list";
    case PromptKind::kMatches:
      return "matches";
    case PromptKind::kSlot:
      return "slot";
    case PromptKind::kMeant:
      return "meant";
    case PromptKind::kName:
      return "name";
    case PromptKind::kHistory:
      return "history";
    case PromptKind::kQuantity:
      return "quantity";
    case PromptKind::kUnitOfNumber:
      return "unit_of_number";
    case PromptKind::kFinding:
      return "finding";
    case PromptKind::kFindings:
      return "findings";
    case PromptKind::kUnitOut:
      return "unit_out";
    case PromptKind::kEnd:
      return "end";
    case PromptKind::kAlso:
      return "also";
    case PromptKind::kSoOrNot:
      return "so_or_not";
    case PromptKind::kHowKnown:
      return "how_known";
    case PromptKind::kCorrectWhich:
      return "correct_which";
    case PromptKind::kCorrectHow:
      return "correct_how";
    case PromptKind::kAccess:
      return "access";
    case PromptKind::kOver:
      return "over";
  }
  return "";
}

const char* NameOf(ReplyForm form) {
  switch (form) {
    case ReplyForm::kNothing:
      return "nothing";
    case ReplyForm::kOne:
      return "one";
    case ReplyForm::kSome:
      return "some";
    case ReplyForm::kText:
      return "text";
    case ReplyForm::kQuantity:
      return "quantity";
    case ReplyForm::kFinding:
      return "finding";
    case ReplyForm::kFindings:
      return "findings";
  }
  return "";
}

const char* NameOf(NextStep::Kind kind) {
  switch (kind) {
    case NextStep::Kind::kAsk:
      return "ask";
    case NextStep::Kind::kUnitOut:
      return "unit_out";
    case NextStep::Kind::kSettled:
      return "settled";
    case NextStep::Kind::kEnough:
      return "enough";
  }
  return "";
}

// What happened: its kind, and what programs may want of it.
class Happened {
 public:
  Happened(const Speaker& speaker, const Sources& sources) : speaker_(speaker), sources_(sources) {}

  Json operator()(const Told&) const { return {{"kind", "told"}}; }
  Json operator()(const Complained&) const { return {{"kind", "complaint"}}; }
  Json operator()(const Refused&) const { return {{"kind", "refused"}}; }
  Json operator()(const Answered&) const { return {{"kind", "taken_back"}}; }
  Json operator()(const NotUnderstood&) const { return {{"kind", "not_understood"}}; }
  Json operator()(const WhyAsked&) const { return {{"kind", "why"}}; }
  Json operator()(const WhyReport&) const { return {{"kind", "reason"}}; }
  Json operator()(const Helped&) const { return {{"kind", "help"}}; }
  Json operator()(const Read& read) const {
    return {{"kind", "reading"}, {"reading", JsonOf(read.reading, speaker_)}};
  }
  Json operator()(const Moved& moved) const {
    Json suspects = Json::array();
    for (const MovedSuspect& one : moved.suspects) {
      suspects.push_back({{"fault", one.fault},
                          {"says", speaker_.Say(one.statement)},
                          {"before", one.before},
                          {"now", one.after}});
    }
    return {{"kind", "moved"}, {"suspects", std::move(suspects)}};
  }
  Json operator()(const Ranking& ranking) const {
    Json suspects = Json::array();
    for (const Suspect& one : ranking.report.suspects)
      suspects.push_back(
          {{"fault", one.event}, {"says", speaker_.Say(one.statement)}, {"chance", one.chance}});
    return {
        {"kind", "ranking"}, {"exact", ranking.report.exactness.exact}, {"suspects", std::move(suspects)}};
  }
  Json operator()(const Diagnostics& diagnostics) const {
    Json messages = Json::array();
    for (const Diagnostic& one : diagnostics.Sorted()) messages.push_back(JsonOf(one, sources_));
    return {{"kind", "wrong"}, {"messages", std::move(messages)}};
  }

 private:
  const Speaker& speaker_;
  const Sources& sources_;
};

Json JsonOf(const Option& option, std::size_t number, const std::string& says) {
  Json json = {{"number", number}, {"id", option.id}, {"says", says}};
  if (option.statement) {
    json["finding"] = StatementId(*option.statement);
    json["report"] = option.present ? "present" : "absent";
  }
  return json;
}

Json JsonOf(const NextQuestion& question, const Speaker& speaker) {
  Json json = JsonOf(question.check, speaker);
  json["under"] = question.under;
  json["how_under"] = question.how_under;
  return json;
}

Json JsonOf(const Standing& standing, const Speaker& speaker) {
  Json json = {{"kind", NameOf(standing.kind)}, {"says", StandingText(standing, speaker, {})}};
  json["lead"] = nullptr;
  json["where"] = nullptr;
  if (standing.lead)
    json["lead"] = {{"fault", standing.lead->event},
                    {"says", speaker.Say(standing.lead->statement)},
                    {"chance", standing.lead->chance},
                    {"needs_unit_out", standing.lead->needs_unit_out}};
  if (standing.where)
    json["where"] = {{"state", StatementId(standing.where->statement)},
                     {"says", speaker.Say(standing.where->statement)},
                     {"chance", standing.where->chance}};
  json["one_of_two"] = Json::array();
  for (const PlaceAccount& account : standing.one_of_two) {
    const AccountPlace& at = account.places.front();
    json["one_of_two"].push_back({{"kind", FaultPlaceKindName(at.place.kind)},
                                  {"place", at.place.name},
                                  {"fault", at.fault},
                                  {"chance", account.chance}});
  }
  json["outcome"] = JsonOf(standing.pull.outcome);
  return json;
}

// Everything that has happened, each with the text that a person is shown of it.
Json Since(const Prompt& prompt, const Rulebook& book, const Sources& sources, const Speaker& speaker) {
  const InterviewText texts(book, sources, {});
  Json since = Json::array();
  for (const Happening& happening : prompt.since) {
    Json one = std::visit(Happened(speaker, sources), happening);
    Prompt alone = prompt;
    alone.since = {happening};
    one["says"] = texts.Happened(alone);
    since.push_back(std::move(one));
  }
  return since;
}

}  // namespace

std::string PromptJson(const Prompt& prompt, const Case* c, const Rulebook& book, const Sources& sources) {
  const Speaker speaker(book.words, prompt.unit, sources);
  Json json = {{"case", c == nullptr ? Json(nullptr) : Json(c->id)}};
  json["since"] = Since(prompt, book, sources, speaker);
  json["prompt"] = NameOf(prompt.kind);
  json["takes"] = NameOf(prompt.takes);
  json["may_pass"] = prompt.may_pass;
  json["again"] = prompt.again;
  json["says"] = prompt.takes == ReplyForm::kNothing ? "" : AskedText(prompt, book.words, speaker);
  json["options"] = Json::array();
  for (std::size_t i = 0; i < prompt.options.size(); ++i)
    json["options"].push_back(
        JsonOf(prompt.options[i], i + 1, OptionText(prompt, prompt.options[i], book.words, speaker)));
  json["question"] = prompt.question ? JsonOf(*prompt.question, speaker) : Json(nullptr);
  json["due"] = prompt.due ? JsonOf(*prompt.due, speaker) : Json(nullptr);
  json["standing"] = prompt.standing ? JsonOf(*prompt.standing, speaker) : Json(nullptr);
  return WriteJson(std::move(json), -1);
}

std::string EndJson(const std::vector<Happening>& since, const std::string& saved_in,
                    const std::string& go_on, const Rulebook& book, const Sources& sources) {
  Prompt over;
  over.since = since;
  Json json = {{"since", Since(over, book, sources, Speaker(book.words, nullptr, sources))}, {"over", true}};
  json["saved_in"] = saved_in.empty() ? Json(nullptr) : Json(saved_in);
  json["go_on"] = go_on.empty() ? Json(nullptr) : Json(go_on);
  return WriteJson(std::move(json), -1);
}

}  // namespace gearwhy
