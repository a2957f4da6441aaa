#include "engine/advise/match_words.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "engine/model/policy.h"
#include "engine/text/ascii.h"
#include "engine/text/near_names.h"

namespace gearwhy {
namespace {

using Tokens = std::vector<std::string>;

// What a numeral is called, as a count and in a row.
constexpr std::array<std::array<std::string_view, 3>, 10> kNumerals = {{{"one", "first", "1st"},
                                                                        {"two", "second", "2nd"},
                                                                        {"three", "third", "3rd"},
                                                                        {"four", "fourth", "4th"},
                                                                        {"five", "fifth", "5th"},
                                                                        {"six", "sixth", "6th"},
                                                                        {"seven", "seventh", "7th"},
                                                                        {"eight", "eighth", "8th"},
                                                                        {"nine", "ninth", "9th"},
                                                                        {"ten", "tenth", "10th"}}};

constexpr std::string_view kDenials[] = {
    "no",      "not",    "never", "without", "nothing", "none",    "cannot",  "cant",  "wont",    "nor",
    "missing", "doesnt", "dont",  "isnt",    "didnt",   "wouldnt", "couldnt", "hasnt", "refuses", "fails"};
// Words that tell next to nothing.
constexpr std::string_view kSmall[] = {"a",    "an",   "the",  "it",    "is",   "in",  "of",   "to",   "and",
                                       "or",   "at",   "on",   "there", "when", "my",  "me",   "i",    "its",
                                       "that", "this", "be",   "are",   "was",  "has", "have", "with", "from",
                                       "then", "do",   "does", "into",  "by",   "car", "gear", "unit", "very",
                                       "but",  "if",   "like", "up",    "for",  "get", "so"};

template <typename Range>
bool Contains(const Range& range, std::string_view word) {
  return std::find(std::begin(range), std::end(range), word) != std::end(range);
}

// "slipping", "slipped", "slips" -> "slip".
std::string WithoutEnding(std::string word) {
  const auto drop = [&](std::string_view ending) {
    if (word.size() < ending.size() + 3 || !word.ends_with(ending)) return false;
    word.resize(word.size() - ending.size());
    return true;
  };
  if (!drop("ing") && !drop("ed") && !drop("es") && !word.ends_with("ss")) drop("s");
  if (word.size() > 3 && word.back() == 'e') word.pop_back();
  // "slipp" of "slipping", and "buzz" as in "buzing".
  const std::size_t n = word.size();
  if (n > 3 && word[n - 1] == word[n - 2]) word.pop_back();
  return word;
}

std::string Compared(const std::string& word) {
  if (word.find_first_not_of("0123456789") == std::string::npos) return "#" + word;
  for (std::size_t i = 0; i < kNumerals.size(); ++i) {
    if (Contains(kNumerals[i], word)) return "#" + std::to_string(i + 1);
  }
  if (Contains(kDenials, word)) return "not";
  return Contains(kSmall, word) ? word : WithoutEnding(word);
}

// How like two words are, 0 to 1; only longer words may differ, and no codes: P0741 is not P0742.
double Likeness(const std::string& a, const std::string& b) {
  if (a == b) return 1;
  if (std::any_of(a.begin(), a.end(), IsDigit) || std::any_of(b.begin(), b.end(), IsDigit)) return 0;
  if (a.size() < 4 || b.size() < 4) return 0;
  const std::size_t longer = std::max(a.size(), b.size());
  // The beginning of a longer word, as in "shudder" and "shuddery".
  const std::size_t shorter = std::min(a.size(), b.size());
  if (a.compare(0, shorter, b, 0, shorter) == 0 && shorter >= 5) return 0.9;
  const int distance = EditDistance(a, b);
  if (static_cast<std::size_t>(distance) * 3 > longer) return 0;
  return 1 - 1.2 * distance / static_cast<double>(longer);
}

struct SlotWords {
  Tokens spoken;  // "manual", "#2"
  Tokens name;    // "m2"
};

// One way of saying a word of the vocabulary, without its slots.
struct Phrase {
  Tokens tokens;
  double bonus = 0;
};

class Matcher {
 public:
  Matcher(std::string_view text, const std::vector<Statement>& findings, const Words& words,
          const SayValueOf& say_value)
      : said_(ComparedWords(text)), words_(words), say_value_(say_value) {
    for (const Statement& finding : findings) by_word_[finding.name].push_back(&finding);
    for (const auto& [name, statements] : by_word_) phrases_[name] = PhrasesOf(*words.Find(name));
    CountUses();
  }

  std::vector<WordsMatch> Match(int most) {
    std::vector<WordsMatch> matches;
    if (said_.empty()) return matches;
    for (const auto& [name, statements] : by_word_) {
      if (auto match = MatchWord(name, statements)) matches.push_back(std::move(*match));
    }
    std::stable_sort(matches.begin(), matches.end(),
                     [](const WordsMatch& a, const WordsMatch& b) { return a.score > b.score; });
    // What is far behind the best only makes the list longer.
    const double least = matches.empty() ? 0 : kLeastOfBest * matches.front().score;
    std::erase_if(matches, [&](const WordsMatch& match) { return match.score < least; });
    if (std::ssize(matches) > most) matches.resize(static_cast<std::size_t>(most));
    return matches;
  }

 private:
  static std::vector<Phrase> PhrasesOf(const Word& word) {
    const auto without_slots = [](const std::string& text) {
      std::string rest;
      bool inside = false;
      for (const char c : text) {
        inside = (inside || c == '{') && c != '}';
        if (!inside && c != '}') rest += c;
      }
      return ComparedWords(rest);
    };
    std::vector<Phrase> phrases = {{without_slots(word.says), word.ask.empty() ? 0.0 : 0.05}};
    for (const std::string& ask : word.ask) phrases.push_back({without_slots(ask), 0.06});
    return phrases;
  }

  void CountUses() {
    for (const auto& [name, phrases] : phrases_) {
      std::set<std::string> once;
      for (const Phrase& phrase : phrases) once.insert(phrase.tokens.begin(), phrase.tokens.end());
      for (const std::string& token : once) ++uses_[token];
    }
  }

  double Weight(const std::string& token) const {
    if (Contains(kSmall, token)) return 0.05;
    if (token == "not") return 0.6;
    const auto uses = uses_.find(token);
    const double n = uses == uses_.end() ? 1 : uses->second;
    return std::log(1 + static_cast<double>(by_word_.size()) / n) /
           std::log(1 + static_cast<double>(by_word_.size()));
  }

  double LikenessKnown(const std::string& a, const std::string& b) {
    const auto [it, is_new] = likeness_.try_emplace({a, b}, 0);
    if (is_new) it->second = Likeness(a, b);
    return it->second;
  }

  // Marks which words said are a slot's value, in order from `from`; the share of the value that was said.
  double FindSlot(const Tokens& value, std::size_t& from, std::vector<bool>& used) {
    if (value.empty()) return 0;
    double best = 0;
    std::size_t best_at = 0;
    for (std::size_t at = from; at < said_.size(); ++at) {
      double covered = 0;
      for (std::size_t i = 0; i < value.size() && at + i < said_.size(); ++i) {
        covered += LikenessKnown(said_[at + i], value[i]) >= 0.7 ? 1 : 0;
      }
      // The words need not stand in the order of the value: "2 manual".
      const double share = covered / static_cast<double>(value.size());
      if (share > best + 1e-9) {
        best = share;
        best_at = at;
      }
    }
    // Half of "manual second" is another range, "second".
    if (best < 0.99) {
      double anywhere = 0;
      for (const std::string& token : value) {
        if (Contains(kSmall, token)) {
          anywhere += 1;
          continue;
        }
        for (const std::string& said : said_) {
          if (LikenessKnown(said, token) >= 0.7) {
            anywhere += 1;
            break;
          }
        }
      }
      best = std::max(best, 0.9 * anywhere / static_cast<double>(value.size()));
      if (best < 0.89) return best >= 0.5 ? 0.3 * best : 0;
      for (std::size_t at = 0; at < said_.size(); ++at) {
        for (const std::string& token : value)
          used[at] = used[at] || (!Contains(kSmall, token) && LikenessKnown(said_[at], token) >= 0.7);
      }
      return best;
    }
    for (std::size_t i = 0; i < value.size() && best_at + i < said_.size(); ++i) used[best_at + i] = true;
    from = best_at + value.size();
    return best;
  }

  struct SlotScore {
    double share = 1;        // of the slots that were said
    std::vector<bool> used;  // by word said
  };

  SlotScore ScoreSlots(const Statement& finding, const Word& word) {
    SlotScore score;
    score.used.assign(said_.size(), false);
    std::size_t from = 0;
    double sum = 0;
    for (std::size_t i = 0; i < word.slots.size(); ++i) {
      const std::string spoken = say_value_(finding.slots[i], word.slots[i]);
      std::size_t after_name = from, after_spoken = from;
      std::vector<bool> by_name = score.used, by_spoken = score.used;
      const double name = FindSlot(ComparedWordsOf(ShowValue(finding.slots[i])), after_name, by_name);
      const double said = FindSlot(ComparedWordsOf(spoken), after_spoken, by_spoken);
      score.used = name > said ? by_name : by_spoken;
      from = name > said ? after_name : after_spoken;
      sum += std::max(name, said);
    }
    if (!word.slots.empty()) score.share = sum / static_cast<double>(word.slots.size());
    return score;
  }

  const Tokens& ComparedWordsOf(const std::string& text) {
    const auto [it, is_new] = tokens_.try_emplace(text);
    if (is_new) it->second = ComparedWords(text);
    return it->second;
  }

  // The best phrase against the words said that no slot has used.
  double ScorePhrase(const Phrase& phrase, const std::vector<bool>& used) {
    double said_weight = 0, covered = 0, phrase_weight = 0, phrase_said = 0;
    for (std::size_t i = 0; i < said_.size(); ++i) {
      if (used[i]) continue;
      const double weight = Weight(said_[i]);
      double best = 0;
      for (const std::string& token : phrase.tokens) best = std::max(best, LikenessKnown(said_[i], token));
      said_weight += weight;
      covered += weight * best;
    }
    for (const std::string& token : phrase.tokens) {
      const double weight = Weight(token);
      double best = 0;
      for (std::size_t i = 0; i < said_.size(); ++i) best = std::max(best, LikenessKnown(said_[i], token));
      phrase_weight += weight;
      phrase_said += weight * best;
    }
    if (said_weight < 0.3 || phrase_weight <= 0 || covered <= 0) {
      return said_weight < 0.3 ? 0.2 : 0;  // only a range was said: any finding of it may be meant
    }
    const bool denied = Contains(said_, "not"), denies = Contains(phrase.tokens, "not");
    const double recall = covered / said_weight, precision = phrase_said / phrase_weight;
    return 0.6 * recall + 0.35 * precision + phrase.bonus - (denied != denies ? 0.2 : 0);
  }

  std::optional<WordsMatch> MatchWord(const std::string& name,
                                      const std::vector<const Statement*>& statements) {
    const Word& word = *words_.Find(name);
    WordsMatch match{name, {}, -1};
    for (const Statement* statement : statements) {
      const SlotScore slots = ScoreSlots(*statement, word);
      double phrase = 0;
      for (const Phrase& way : phrases_.at(name)) phrase = std::max(phrase, ScorePhrase(way, slots.used));
      if (phrase <= 0) continue;
      // Slots that were not spoken of are left open; slots said otherwise speak against it.
      const double fit = word.slots.empty() ? 1 : slots.share > 0 ? 0.75 + 0.25 * slots.share : 0.9;
      const double score = phrase * fit;
      if (score > match.score + 1e-9) {
        match.score = score;
        match.meant.clear();
      }
      if (std::abs(score - match.score) <= 1e-9) match.meant.push_back(*statement);
    }
    if (match.score < kLeastScore) return std::nullopt;
    return match;
  }

  const Tokens said_;
  const Words& words_;
  const SayValueOf& say_value_;
  std::map<std::string, std::vector<const Statement*>> by_word_;
  std::map<std::string, std::vector<Phrase>> phrases_;
  std::map<std::string, int> uses_;
  std::map<std::pair<std::string, std::string>, double> likeness_;
  std::map<std::string, Tokens> tokens_;
};

}  // namespace

std::vector<std::string> ComparedWords(std::string_view text) {
  Tokens tokens;
  std::string word;
  const auto end_word = [&] {
    if (!word.empty()) tokens.push_back(Compared(word));
    word.clear();
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (IsLetter(c) || IsDigit(c) || static_cast<unsigned char>(c) >= 0x80) {
      word += Lower(c);
    } else if (c != '\'') {  // "won't" is one word
      end_word();
    }
  }
  end_word();
  return tokens;
}

std::vector<WordsMatch> MatchFindings(std::string_view text, const std::vector<Statement>& findings,
                                      const Words& words, const SayValueOf& say_value, int most) {
  return Matcher(text.substr(0, 500), findings, words, say_value).Match(most);
}

}  // namespace gearwhy
