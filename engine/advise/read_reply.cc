#include "engine/advise/read_reply.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <vector>

#include "engine/advise/said_words.h"
#include "engine/text/ascii.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

struct NamedWord {
  std::string_view name;
  PlainWord word;
  bool takes_more = false;
};
constexpr NamedWord kWords[] = {
    {"help", PlainWord::kHelp},           {"why", PlainWord::kWhy},
    {"don't know", PlainWord::kDontKnow}, {"dont know", PlainWord::kDontKnow},
    {"?", PlainWord::kDontKnow},          {"back", PlainWord::kBack},
    {"correct", PlainWord::kCorrect},     {"ranking", PlainWord::kRanking},
    {"reason", PlainWord::kReason, true}, {"access", PlainWord::kAccess},
    {"also", PlainWord::kAlso, true},     {"later", PlainWord::kLater},
    {"measure", PlainWord::kMeasure},     {"leave", PlainWord::kLeave},
};

Reply NotARead(std::string why = "") { return {.kind = Reply::Kind::kNotUnderstood, .text = std::move(why)}; }
Reply Word(PlainWord word, std::string more = "") {
  return {.kind = Reply::Kind::kWord, .text = std::move(more), .word = word};
}

// The word that a line is, or why it could be several; nothing when it is none. Where names are an answer,
// too, a word has to be said in full: R is reverse there.
std::optional<Reply> ReadWord(const std::string& line, bool in_full) {
  const std::string lower = Lower(line);
  if (lower.empty()) return std::nullopt;
  std::vector<const NamedWord*> begun;
  for (const NamedWord& named : kWords) {
    if (lower == named.name) return Word(named.word);
    if (named.takes_more && lower.starts_with(named.name) && lower[named.name.size()] == ' ')
      return Word(named.word, line.substr(lower.find_first_not_of(' ', named.name.size())));
    const bool same = std::any_of(begun.begin(), begun.end(),
                                  [&](const NamedWord* other) { return other->word == named.word; });
    if (!in_full && named.name.starts_with(lower) && !same) begun.push_back(&named);
  }
  if (begun.empty()) return std::nullopt;
  if (begun.size() == 1) return Word(begun[0]->word);
  return NotARead(fmt::format("{} may be {} or {}", InTicks(line), begun[0]->name, begun[1]->name));
}

// Whether an option may be said in words of its description: "late" is a version there, and not later.
bool IsDescribed(const Prompt& prompt) {
  return prompt.kind == PromptKind::kUnit || prompt.kind == PromptKind::kVariant ||
         prompt.kind == PromptKind::kVersion;
}

bool IsYes(std::string_view lower) { return lower == "y" || lower == "yes"; }
bool IsNo(std::string_view lower) { return lower == "n" || lower == "no"; }

struct Numbered {
  int option = 0;  // from 0
  bool unsure = false;
};
// "1 3?" as options, "2-4" as all from the one to the other where that may be; nothing when it is something
// else.
std::optional<std::vector<Numbered>> ReadNumbers(std::string_view line, int most, bool spans = false) {
  std::vector<Numbered> numbers;
  bool to = false;
  for (std::size_t i = 0; i < line.size();) {
    if (line[i] == ' ' || line[i] == ',') {
      ++i;
      continue;
    }
    int number = 0;
    const std::size_t start = i;
    for (; i < line.size() && IsDigit(line[i]) && number <= most; ++i) number = number * 10 + (line[i] - '0');
    if (i == start || number < 1 || number > most) return std::nullopt;
    const bool unsure = i < line.size() && line[i] == '?';
    if (unsure) ++i;
    const bool begins =
        spans && !to && !unsure && i + 1 < line.size() && line[i] == '-' && IsDigit(line[i + 1]);
    if (!begins && i < line.size() && line[i] != ' ' && line[i] != ',') return std::nullopt;
    if (to && (unsure || number - 1 <= numbers.back().option)) return std::nullopt;
    while (to && numbers.back().option < number - 2) numbers.push_back({numbers.back().option + 1, false});
    numbers.push_back({number - 1, unsure});
    to = begins;
    if (begins) ++i;
  }
  return numbers;
}

// Takes the circumstances named at its end off the line. A clause when they are opposites.
std::string TakeCircumstances(const Words& words, std::string& line, std::vector<std::string>& under) {
  const auto& circumstances = words.circumstances;
  for (;;) {
    const std::size_t end = line.find_last_not_of(" ,.");
    if (end == std::string::npos) break;
    const std::size_t space = line.find_last_of(" ,", end);
    const std::size_t begin = space == std::string::npos ? 0 : space + 1;
    const auto named = circumstances.find(Lower(line.substr(begin, end + 1 - begin)));
    if (named == circumstances.end()) break;
    if (std::find(under.begin(), under.end(), named->second.opposite) != under.end()) {
      return fmt::format("one look is not made both {} and {}: give one of them", named->second.says,
                         circumstances.find(named->second.opposite)->second.says);
    }
    if (std::find(under.begin(), under.end(), named->first) == under.end()) under.push_back(named->first);
    line.resize(begin);
  }
  while (line.ends_with(' ') || line.ends_with(',')) line.pop_back();
  return "";
}

Reply ReadFindings(std::string line, const Prompt& prompt, const Words& words) {
  Reply reply;
  if (std::string why = TakeCircumstances(words, line, reply.under); !why.empty()) return NotARead(why);
  const int options = static_cast<int>(prompt.options.size());
  const std::string lower = Lower(line);
  auto numbers = ReadNumbers(line, options);
  // Behind the findings stand "none" (of one: "not so") and "don't know".
  const bool one = prompt.takes == ReplyForm::kFinding;
  if (IsNo(lower) || lower == "0" || lower == "none" || (lower.empty() && prompt.may_pass))
    numbers = {{options - 2, false}};
  if (IsYes(lower) && !one) return NotARead("say which of them, by their numbers");
  if (IsYes(lower)) numbers = {{0, false}};
  if (!numbers || numbers->empty()) return NotARead();
  for (const Numbered& numbered : *numbers) {
    const bool is_finding = numbered.option < options - 2;
    if (numbered.unsure && one) {
      reply.chosen.push_back(options - 1);  // who is not sure of it does not know
    } else {
      (numbered.unsure && is_finding ? reply.unsure : reply.chosen).push_back(numbered.option);
    }
  }
  return reply;
}

// The one option of which the line says nothing but words that it has, too: "six-speed" of several units.
std::optional<int> OptionInWords(const std::string& line, const Prompt& prompt, const Words& words) {
  SaidWords said(words.sayings);
  std::vector<std::set<int>> of_option;
  for (const Option& option : prompt.options) {
    const std::vector<int> has = said.Learn(option.id + " " + option.says);
    of_option.emplace_back(has.begin(), has.end());
  }
  std::set<int> heard;
  for (const SaidWord& word : said.Hear(line)) {
    if (!said.IsSmall(word.word)) heard.insert(word.word);
  }
  std::optional<int> fits;
  for (std::size_t i = 0; i < of_option.size() && !heard.empty(); ++i) {
    if (!std::includes(of_option[i].begin(), of_option[i].end(), heard.begin(), heard.end())) continue;
    if (fits) return std::nullopt;
    fits = static_cast<int>(i);
  }
  return fits;
}

}  // namespace

Reply ReadReply(std::string_view typed, const Prompt& prompt, const Words& words) {
  // What a terminal or a paste has slipped in is no part of an answer.
  const std::string line = SafeLine(typed);
  if (const auto word = ReadWord(line, prompt.takes_names || IsDescribed(prompt))) return *word;
  const bool has_findings = prompt.takes == ReplyForm::kFinding || prompt.takes == ReplyForm::kFindings;
  if (line.empty() && prompt.may_pass && !has_findings) return {};
  const int options = static_cast<int>(prompt.options.size());
  const std::string lower = Lower(line);
  if (prompt.takes == ReplyForm::kText && prompt.may_pass) {
    const bool proposes = prompt.kind == PromptKind::kName;
    if (proposes ? IsYes(lower) : lower == "0" || lower == "none" || IsNo(lower)) return {};
  }
  switch (prompt.takes) {
    case ReplyForm::kNothing:
      return NotARead();
    case ReplyForm::kText:
    case ReplyForm::kQuantity:
      return {.kind = Reply::Kind::kText, .text = line};
    case ReplyForm::kFinding:
    case ReplyForm::kFindings:
      return ReadFindings(line, prompt, words);
    case ReplyForm::kOne:
    case ReplyForm::kSome:
      break;
  }
  if (prompt.may_pass && (lower == "0" || lower == "none")) return {};
  // Of two things, as in a shift from 2 to 3, "2-3" is a name.
  const auto* narrowed = prompt.takes_names ? words.Find(prompt.word) : nullptr;
  const bool names_two = narrowed != nullptr && narrowed->slots.size() > 1;
  auto numbers = ReadNumbers(line, options, prompt.takes == ReplyForm::kSome && !names_two);
  if (prompt.yes_no && IsYes(lower)) numbers = {{0, false}};
  if (prompt.yes_no && IsNo(lower)) numbers = {{1, false}};
  const bool all = prompt.takes_names && lower == "all";
  if (all || (prompt.likeliest > 0 && IsYes(lower))) {
    numbers.emplace();
    for (int i = 0; i < (all ? options : prompt.likeliest); ++i) numbers->push_back({i, false});
  }
  const bool may_name = names_two || std::any_of(line.begin(), line.end(), IsLetter);
  if (prompt.takes_names && may_name && (!numbers || numbers->empty()))
    return {.kind = Reply::Kind::kText, .text = line};
  if (IsDescribed(prompt) && !numbers) {
    if (const auto option = OptionInWords(line, prompt, words)) numbers = {{*option, false}};
  }
  if (!numbers || numbers->empty()) return NotARead();
  Reply reply;
  for (const Numbered& one : *numbers) {
    if (one.unsure) return NotARead();
    reply.chosen.push_back(one.option);
  }
  return reply;
}

ReadNumber ReadQuantity(const std::string& text, const WantedQuantity& wanted) {
  ReadNumber read;
  read.number = ParseQuantity(text, wanted.dimension, &read.why);
  std::string ignored;
  if (!read.number) {
    read.lacks_unit =
        ParseQuantity(text, Dimension::kNumber, &ignored) && text.find('%') == std::string::npos;
  } else if (const auto outside = WhyOutside(*read.number, text, wanted.dimension, wanted.range)) {
    read.number.reset();
    read.why = *outside;
  }
  return read;
}

}  // namespace gearwhy
