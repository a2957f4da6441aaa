// Mutations that know of lines and words: whole lines moved, doubled and taken from another text, words put
// in the place of others, numbers made extreme. Bytes changed at random hardly ever leave a text that loads.
#pragma once

#include <algorithm>
#include <random>
#include <string>
#include <vector>

namespace gearwhy {

// The standard fixes the numbers of mt19937, but not those of its distributions.
class Mutator {
 public:
  explicit Mutator(unsigned seed) : random_(seed) {}

  // `other`: where lines and words may be taken from.
  std::string Mutate(std::string text, const std::string& other) {
    switch (Below(6)) {
      case 0:
        return Spliced(text, LineOf(text), "");  // struck
      case 1:
        return Spliced(text, {LineOf(text).first, 0}, Cut(text));  // doubled or moved
      case 2:
        return Spliced(text, {LineOf(text).first, 0}, Cut(other));  // taken over
      case 3:
        return Spliced(text, LineOf(text), Cut(other));  // in the place of another
      case 4:
        return Spliced(text, WordOf(text), WordIn(Below(2) == 0 ? text : other));
      default:
        return Spliced(text, WordOf(text), Extreme());
    }
  }
  std::size_t Below(std::size_t end) { return random_() % end; }

 private:
  using Span = std::pair<std::size_t, std::size_t>;  // begin, length

  static std::string Spliced(std::string text, Span span, const std::string& put) {
    return text.replace(span.first, span.second, put);
  }
  // With its end.
  Span LineOf(const std::string& text) {
    if (text.empty()) return {0, 0};
    const std::size_t at = Below(text.size());
    const std::size_t before = at == 0 ? std::string::npos : text.rfind('\n', at - 1);
    const std::size_t begin = before == std::string::npos ? 0 : before + 1;
    const std::size_t end = text.find('\n', at);
    return {begin, (end == std::string::npos ? text.size() : end + 1) - begin};
  }
  std::string Cut(const std::string& text) {
    const Span first = LineOf(text);
    std::size_t end = first.first + first.second;
    for (std::size_t more = Below(4); more > 0 && end < text.size(); --more)
      end = std::min(text.find('\n', end), text.size() - 1) + 1;
    return text.substr(first.first, end - first.first);
  }
  static bool IsOfWord(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '-' || c == '.';
  }
  Span WordOf(const std::string& text) {
    std::size_t begin = text.empty() ? 0 : Below(text.size());
    while (begin < text.size() && !IsOfWord(text[begin])) ++begin;
    while (begin > 0 && IsOfWord(text[begin - 1])) --begin;
    std::size_t end = begin;
    while (end < text.size() && IsOfWord(text[end])) ++end;
    return {begin, end - begin};
  }
  std::string WordIn(const std::string& text) {
    const Span word = WordOf(text);
    return text.substr(word.first, word.second);
  }
  std::string Extreme() {
    static const std::vector<std::string> kExtreme = {
        "0",   "-1",        "1",     "100%",   "0%", "1e308", "-1e308", "1e-308", "2147483648",
        "0.1", "999999999", "never", "always", "[]", "{}",    "\"\"",   "~",      "*"};
    return kExtreme[Below(kExtreme.size())];
  }

  std::mt19937 random_;
};

}  // namespace gearwhy
