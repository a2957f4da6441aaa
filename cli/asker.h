// Asker: questions with numbered answers, and the plain words that may be said at any of them.
//
// Leaving is an exception, Left, so that every prompt can be left from, however deep it is; RunAsk catches
// it.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cli/line_reader.h"
#include "engine/render/page.h"

namespace gearwhy {

struct Left {
  ReadEnd end = ReadEnd::kLine;  // kLine: the user said so
};

enum class PlainWord {
  kNone,
  kHelp,
  kWhy,
  kDontKnow,
  kBack,
  kCorrect,
  kRanking,
  kReason,
  kAccess,
  kAlso,
  kLater,
  kLeave
};

struct Said {
  PlainWord word = PlainWord::kNone;
  std::string rest;       // behind the word: "2" of "reason 2"; all of it when there is no word
  std::string ambiguous;  // "`r` may be ranking or reason": then nothing else is set
};
// A whole line as one of the words: the word or a beginning that only it has, alone, or followed by what it
// takes.
Said Understand(const std::string& line);

// "1 3?" as numbers up to `most`, each with whether a `?` stands behind it; nothing when it is something
// else.
struct Numbered {
  int number = 0;
  bool unsure = false;
};
std::optional<std::vector<Numbered>> ReadNumbers(const std::string& line, int most);

class Asker {
 public:
  Asker(LineReader& reader, const TextStyle& style) : reader_(reader), style_(style) {}

  // Called with every word but `leave`; true when it has been dealt with and the question is to be put again.
  void OnWord(std::function<bool(const Said&)> handler) { on_word_ = std::move(handler); }

  // One line. Words are handed to OnWord; those it does not deal with come back with the line.
  std::string Line(Said* said, const std::string& prompt = "> ");
  // The number of one of the options, from 1; 0 for `back`, `later` or, where `enter` allows it, nothing.
  int Choose(const std::vector<std::string>& options, bool enter = false);
  // Some of the options; empty for `back` or nothing.
  std::vector<int> ChooseSome(const std::vector<std::string>& options);

  void Options(const std::vector<std::string>& options, int first = 1);
  void Tell(const std::string& text);  // a paragraph
  void Head(const std::string& text);
  void Blank();
  void Print(const std::string& text);  // laid out already
  const TextStyle& style() const { return style_; }

 private:
  LineReader& reader_;
  TextStyle style_;
  std::function<bool(const Said&)> on_word_;
};

}  // namespace gearwhy
