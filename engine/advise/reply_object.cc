#include "engine/advise/reply_object.h"

#include <fmt/format.h>

#include "engine/advise/read_reply.h"
#include "engine/text/fields.h"

namespace gearwhy {
namespace {

struct ReplyObject {
  std::string line, say, word, of;
  std::vector<std::string> choose, unsure, under;
  bool has_line = false, chooses = false, has_say = false, has_word = false;
};

// Numbers as they are written.
std::vector<std::string> NumbersOf(Fields& fields, const char* key, const char* help) {
  std::vector<std::string> numbers;
  for (const YamlNode& item : fields.List(key, Presence::kOptional, "list of numbers", help)) {
    std::string number;
    if (ReadText(item, "an option", fields.diagnostics(), &number)) numbers.push_back(std::move(number));
  }
  return numbers;
}

ReplyObject Load(Fields fields) {
  ReplyObject object;
  object.choose = NumbersOf(fields, "choose",
                            "Options by their numbers, from 1; an empty list for none of what is offered.");
  object.unsure = NumbersOf(fields, "unsure", "Options of which it cannot be told whether they are so.");
  fields.Names("under", object.under, "Circumstances of the look, as in hot, beside `choose`.");
  fields.Text("say", Presence::kOptional, object.say,
              "Free text, or a number with its unit, where that is asked for.");
  fields.Text("word", Presence::kOptional, object.word,
              "A word that answers any prompt: why, back, correct, ranking, reason, access, also, later, "
              "leave, don't know.");
  fields.Text("of", Presence::kOptional, object.of, "What stands behind the word, as in reason of 2.");
  fields.Text("line", Presence::kOptional, object.line, "What a person would type, instead of all others.");
  object.chooses = fields.Has("choose") || fields.Has("unsure");
  object.has_line = fields.Has("line");
  object.has_say = fields.Has("say");
  object.has_word = fields.Has("word");
  fields.Done();
  return object;
}

std::string Joined(const ReplyObject& object) {
  std::string line;
  for (const std::string& number : object.choose) line += number + " ";
  for (const std::string& number : object.unsure) line += number + "? ";
  if (line.empty()) line = "0 ";
  for (const std::string& circumstance : object.under) line += circumstance + " ";
  return line;
}

}  // namespace

std::optional<Reply> ReadReplyObject(const YamlNode& node, const Prompt& prompt, const Words& words,
                                     Diagnostics& diagnostics) {
  const int errors = diagnostics.error_count();
  const ReplyObject object = Load(Fields(node, "a reply", diagnostics));
  if (diagnostics.error_count() > errors) return std::nullopt;
  if (object.has_line + object.chooses + object.has_say + object.has_word != 1) {
    diagnostics.Error(node.place, "reply-not-one",
                      "a reply has one of `choose`, `say`, `word` and `line`; which of them is meant?");
    return std::nullopt;
  }
  if (object.has_say) return Reply{.kind = Reply::Kind::kText, .text = object.say};
  if (object.has_line) return ReadReply(object.line, prompt, words);
  if (object.chooses) {
    // Where none is an answer and a number is not.
    if (object.choose.empty() && object.unsure.empty() && prompt.may_pass)
      return ReadReply("", prompt, words);
    return ReadReply(Joined(object), prompt, words);
  }
  Reply reply = ReadReply(object.of.empty() ? object.word : object.word + " " + object.of, prompt, words);
  if (reply.kind == Reply::Kind::kWord) return reply;
  return Reply{.kind = Reply::Kind::kNotUnderstood, .text = ""};
}

}  // namespace gearwhy
