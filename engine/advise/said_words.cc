#include "engine/advise/said_words.h"

#include <algorithm>
#include <numeric>

#include "engine/text/ascii.h"
#include "engine/text/near_names.h"

namespace gearwhy {
namespace {

constexpr double kSureOfMended = 0.85;
constexpr std::size_t kMostBetween = 2;  // small words inside of several words that are alike one

struct RawWord {
  std::string raw;
  bool breaks = false;
  std::size_t begin = 0, end = 0;
};

// Lower case, without apostrophes: "won't" is one word.
std::vector<RawWord> RawWords(std::string_view text) {
  std::vector<RawWord> words;
  RawWord word;
  bool breaks = false;
  const auto is_part = [](char c) {
    return IsLetter(c) || IsDigit(c) || static_cast<unsigned char>(c) >= 0x80;
  };
  for (std::size_t i = 0; i <= text.size(); ++i) {
    const char c = i < text.size() ? text[i] : '\n';
    const bool curly = text.substr(i).starts_with("\xE2\x80\x99");
    if (c == '\'' || curly) {
      if (curly) i += 2;
    } else if (is_part(c)) {
      if (word.raw.empty()) word.begin = i;
      word.raw += Lower(c);
      word.end = i + 1;
    } else {
      if (!word.raw.empty()) {
        word.breaks = breaks;
        breaks = false;
        words.push_back(std::move(word));
        word = {};
      }
      const bool in_number =
          c == '.' && i > 0 && i + 1 < text.size() && IsDigit(text[i - 1]) && IsDigit(text[i + 1]);
      breaks = breaks || (!in_number && std::string_view(",.;:!?&+\n").find(c) != std::string_view::npos);
    }
  }
  return words;
}

bool HasDigit(std::string_view word) { return std::any_of(word.begin(), word.end(), IsDigit); }

}  // namespace

SaidWords::SaidWords(const Sayings& sayings) {
  Number("not");
  const auto mark = [&](const std::vector<std::string>& texts, bool Kind::*kind) {
    for (const std::string& text : texts) {
      for (const RawWord& word : RawWords(text)) {
        const int number = Number("." + word.raw);
        raw_.emplace(word.raw, number);
        kinds_[At(number)].*kind = true;
      }
    }
  };
  mark(sayings.small, &Kind::small);
  mark(sayings.joins, &Kind::joins);
  mark(sayings.joins, &Kind::small);
  mark(sayings.counted, &Kind::counted);
  for (const std::string& denial : sayings.denials) {
    for (const RawWord& word : RawWords(denial)) raw_[word.raw] = kNot;
  }
  LearnAlike(sayings.alike);
  for (const auto& [raw, number] : raw_) spelt_[raw[0]].push_back(raw);
}

// Groups that share a text are one, so that a shop adds to a group by naming one of its texts. Single words
// come first, as several words are made of them.
void SaidWords::LearnAlike(const std::vector<std::vector<std::string>>& groups) {
  std::vector<std::size_t> same(groups.size());
  std::iota(same.begin(), same.end(), 0u);
  const auto root = [&](std::size_t group) {
    while (same[group] != group) group = same[group];
    return group;
  };
  std::map<std::string, std::size_t> first;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    for (const std::string& text : groups[g]) {
      const auto [it, is_new] = first.emplace(text, g);
      if (!is_new) same[std::max(root(g), root(it->second))] = std::min(root(g), root(it->second));
    }
  }
  std::vector<std::pair<std::vector<RawWord>, int>> several;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    const int number = Number("=" + groups[root(g)][0]);
    for (const std::string& text : groups[g]) {
      std::vector<RawWord> words = RawWords(text);
      if (words.size() != 1) {
        several.emplace_back(std::move(words), number);
        continue;
      }
      // What is like a small word is small.
      if (const auto before = raw_.find(words[0].raw); before != raw_.end()) {
        kinds_[At(number)].small |= kinds_[At(before->second)].small;
        kinds_[At(number)].joins |= kinds_[At(before->second)].joins;
      }
      raw_[words[0].raw] = number;
      stems_.emplace(stemmer_.Stem(words[0].raw), number);
    }
  }
  for (const auto& [words, number] : several) {
    Sequence sequence{{}, number};
    for (const RawWord& word : words) sequence.words.push_back(WordOf(word.raw));
    sequences_[sequence.words[0]].push_back(std::move(sequence));
  }
  for (auto& [word, sequences] : sequences_) {
    std::stable_sort(sequences.begin(), sequences.end(),
                     [](const Sequence& a, const Sequence& b) { return a.words.size() > b.words.size(); });
  }
}

int SaidWords::Number(const std::string& key) {
  const auto [it, is_new] = numbers_.emplace(key, static_cast<int>(kinds_.size()));
  if (is_new) kinds_.emplace_back();
  return it->second;
}

std::optional<int> SaidWords::Known(const std::string& raw) const {
  if (const auto it = raw_.find(raw); it != raw_.end()) return it->second;
  // A slip of the pen may be mended to a stem.
  for (const std::string& stem : {raw, stemmer_.Stem(raw)}) {
    if (const auto it = stems_.find(stem); it != stems_.end()) return it->second;
    if (const auto it = numbers_.find(stem); it != numbers_.end()) return it->second;
  }
  return std::nullopt;
}

int SaidWords::WordOf(const std::string& raw) {
  const std::string stem = stemmer_.Stem(raw);
  for (const std::string& form : {raw, stem}) {
    auto& spelt = spelt_[form[0]];
    const auto place = std::lower_bound(spelt.begin(), spelt.end(), form);
    if (place == spelt.end() || *place != form) spelt.insert(place, form);
  }
  const auto known = Known(raw);
  return known ? *known : Number(stem);
}

std::vector<int> SaidWords::Learn(std::string_view text) {
  std::vector<SaidWord> said;
  for (const RawWord& word : RawWords(text)) said.push_back({WordOf(word.raw), 1, word.breaks});
  Join(said);
  std::vector<int> words;
  for (const SaidWord& word : said) words.push_back(word.word);
  return words;
}

std::optional<std::string> SaidWords::Mended(const std::string& raw) const {
  const auto spelt = spelt_.find(raw[0]);
  if (raw.size() < 4 || HasDigit(raw) || spelt == spelt_.end()) return std::nullopt;
  int least = raw.size() < 6 ? 1 : 2;
  const std::string* nearest = nullptr;
  for (const std::string& known : spelt->second) {
    const auto length = [](const std::string& word) { return static_cast<int>(word.size()); };
    if (std::abs(length(known) - length(raw)) > least || known.size() < 4 || HasDigit(known)) continue;
    const int distance = EditDistance(raw, known);
    if (distance > least || (nearest != nullptr && distance == least)) continue;
    least = distance;
    nearest = &known;
  }
  return nearest == nullptr ? std::nullopt : std::optional(*nearest);
}

std::vector<SaidWord> SaidWords::Hear(std::string_view text) const {
  std::vector<SaidWord> said;
  for (const RawWord& raw : RawWords(text)) {
    SaidWord word{0, 1, raw.breaks, raw.begin, raw.end};
    if (const auto known = Known(raw.raw)) {
      word.word = *known;
    } else {
      auto mended = Mended(raw.raw);
      if (!mended) mended = Mended(stemmer_.Stem(raw.raw));
      word.word = mended ? Known(*mended).value_or(-1) : -1;
      if (mended) word.sure = kSureOfMended;
    }
    said.push_back(word);
  }
  Join(said);
  return said;
}

std::optional<std::size_t> SaidWords::EndOf(const std::vector<int>& words, const std::vector<SaidWord>& said,
                                            std::size_t at) const {
  std::size_t next = at, between = 0;
  for (const int word : words) {
    between = 0;
    while (next < said.size() && said[next].word != word) {
      const bool may_skip = next > at && said[next].word >= 0 && IsSmall(said[next].word);
      if (!may_skip || ++between > kMostBetween) return std::nullopt;
      ++next;
    }
    if (next == said.size() || (next > at && said[next].breaks)) return std::nullopt;
    ++next;
  }
  return next;
}

void SaidWords::Join(std::vector<SaidWord>& said) const {
  std::vector<SaidWord> joined;
  for (std::size_t i = 0; i < said.size();) {
    std::size_t end = i + 1;
    SaidWord one = said[i];
    const auto sequences = sequences_.find(said[i].word);
    if (sequences != sequences_.end()) {
      for (const Sequence& sequence : sequences->second) {
        const auto found = EndOf(sequence.words, said, i);
        if (!found) continue;
        one.word = sequence.alike;
        one.end = said[*found - 1].end;
        for (std::size_t k = i; k < *found; ++k) one.sure = std::min(one.sure, said[k].sure);
        end = *found;
        break;
      }
    }
    joined.push_back(one);
    i = end;
  }
  said = std::move(joined);
}

}  // namespace gearwhy
