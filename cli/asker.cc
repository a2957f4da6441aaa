#include "cli/asker.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/session.h"
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
    {"leave", PlainWord::kLeave},
};

}  // namespace

Said Understand(const std::string& line) {
  Said said;
  said.rest = line;
  const std::string lower = Lower(line);
  if (lower.empty()) return said;
  std::vector<const NamedWord*> begun;
  for (const NamedWord& named : kWords) {
    const bool whole = lower == named.name;
    const bool with_more =
        named.takes_more && lower.starts_with(named.name) && lower[named.name.size()] == ' ';
    if (whole || with_more) {
      said.word = named.word;
      const std::size_t more = with_more ? lower.find_first_not_of(' ', named.name.size()) : lower.size();
      said.rest = line.substr(std::min(more, line.size()));
      return said;
    }
    const bool same = std::any_of(begun.begin(), begun.end(),
                                  [&](const NamedWord* other) { return other->word == named.word; });
    if (named.name.starts_with(lower) && !same) begun.push_back(&named);
  }
  if (begun.size() == 1) {
    said.word = begun[0]->word;
    said.rest.clear();
  } else if (begun.size() > 1) {
    said.ambiguous = fmt::format("{} may be {} or {}", InTicks(line), begun[0]->name, begun[1]->name);
  }
  return said;
}

std::optional<std::vector<Numbered>> ReadNumbers(const std::string& line, int most) {
  std::vector<Numbered> numbers;
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
    if (i < line.size() && line[i] != ' ' && line[i] != ',') return std::nullopt;
    numbers.push_back({number, unsure});
  }
  return numbers;
}

void Asker::Print(const std::string& text) { WriteOut(text); }
void Asker::Blank() { WriteOut("\n"); }

void Asker::Tell(const std::string& text) {
  Page page(style_);
  page.Paragraph("", text);
  WriteOut(page.text());
}

void Asker::Head(const std::string& text) {
  Page page(style_);
  page.Heading(text);
  WriteOut(page.text());
}

void Asker::Options(const std::vector<std::string>& options, int first) {
  Page page(style_);
  const int last = first + static_cast<int>(options.size()) - 1;
  for (std::size_t i = 0; i < options.size(); ++i) {
    page.Paragraph(fmt::format("{:>{}} ", first + static_cast<int>(i), last > 9 ? 4 : 3), options[i]);
  }
  WriteOut(page.text());
}

std::string Asker::Line(Said* said, const std::string& prompt) {
  for (;;) {
    std::string line;
    const ReadEnd end = reader_.Read(prompt, &line);
    if (end != ReadEnd::kLine) throw Left{end};
    // What a terminal or a paste has slipped in is no part of an answer.
    line = SafeLine(line);
    *said = Understand(line);
    if (!said->ambiguous.empty()) {
      Tell(said->ambiguous + ".");
      continue;
    }
    if (said->word == PlainWord::kLeave) throw Left{};
    if (said->word != PlainWord::kNone && on_word_ && on_word_(*said)) continue;
    return line;
  }
}

int Asker::Choose(const std::vector<std::string>& options, bool enter) {
  Options(options);
  for (;;) {
    Said said;
    const std::string line = Line(&said);
    if (said.word == PlainWord::kBack || said.word == PlainWord::kLater || (enter && line.empty())) return 0;
    const auto numbers = ReadNumbers(line, static_cast<int>(options.size()));
    if (numbers && numbers->size() == 1 && !numbers->front().unsure) return numbers->front().number;
    Tell(fmt::format("Please answer with one number from 1 to {}{}.", options.size(),
                     enter ? ", or with Enter alone" : ""));
  }
}

std::vector<int> Asker::ChooseSome(const std::vector<std::string>& options) {
  Options(options);
  for (;;) {
    Said said;
    const std::string line = Line(&said);
    if (said.word == PlainWord::kBack || said.word == PlainWord::kLater || line.empty()) return {};
    const auto numbers = ReadNumbers(line, static_cast<int>(options.size()));
    const bool sure =
        numbers && std::none_of(numbers->begin(), numbers->end(), [](const Numbered& n) { return n.unsure; });
    if (sure && !numbers->empty()) {
      std::vector<int> chosen;
      for (const Numbered& n : *numbers) {
        if (std::find(chosen.begin(), chosen.end(), n.number) == chosen.end()) chosen.push_back(n.number);
      }
      return chosen;
    }
    Tell(fmt::format("Please answer with numbers from 1 to {}, as in 1 3, or with Enter alone.",
                     options.size()));
  }
}

}  // namespace gearwhy
