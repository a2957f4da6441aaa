// Said words: a text as the words by which it is compared with the rulebook's, each a number.
//
// In: the sayings of a rulebook, then its own texts (Learn), then what somebody has typed (Hear). Out: for each word one
// number, the same for words that mean the same: without their endings (text/stem.h), all denials one, and
// texts that the sayings call alike one, were they several words. A typed word that nobody knows is taken for
// the known one nearest to it, as a slip of the pen, where that is near and begins with the same letter;
// codes such as P0741 are never mended.
// Cost: of hearing, a stem for each word, and a comparison with some fifty known words for each that is not known.
// Threads: to hear, one at a time.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/model/words.h"
#include "engine/text/at.h"
#include "engine/text/stem.h"

namespace gearwhy {

struct SaidWord {
  int word = 0;                    // -1: nobody knows it
  double sure = 1;                 // less where a slip of the pen was mended
  bool breaks = false;             // a comma or a full stop stands before it
  std::size_t begin = 0, end = 0;  // its bytes in the text
};

class SaidWords {
 public:
  explicit SaidWords(const Sayings& sayings);

  // The words of a text of the rulebook; they are known from now on.
  std::vector<int> Learn(std::string_view text);
  std::vector<SaidWord> Hear(std::string_view text) const;

  static constexpr int kNot = 0;
  // A word that says next to nothing, of two things told the one between them, and one that is counted.
  bool IsSmall(int word) const { return word >= 0 && kinds_[At(word)].small; }
  bool IsJoin(int word) const { return word >= 0 && kinds_[At(word)].joins; }
  bool IsCounted(int word) const { return word >= 0 && kinds_[At(word)].counted; }
  int size() const { return static_cast<int>(kinds_.size()); }  // words are below this

  // Where these words stand in what was said from `at` on, with no more than small words between them: the
  // end. Nothing where they do not.
  std::optional<std::size_t> EndOf(const std::vector<int>& words, const std::vector<SaidWord>& said,
                                   std::size_t at) const;

 private:
  struct Kind {
    bool small = false, joins = false, counted = false;
  };
  struct Sequence {
    std::vector<int> words;
    int alike = 0;
  };

  int Number(const std::string& key);
  int WordOf(const std::string& raw);  // known from now on
  std::optional<int> Known(const std::string& raw) const;
  std::optional<std::string> Mended(const std::string& raw) const;
  void LearnAlike(const std::vector<std::vector<std::string>>& groups);
  void Join(std::vector<SaidWord>& said) const;  // several words that are alike one

  std::map<std::string, int, std::less<>> numbers_;  // of stems, and of groups of what is alike
  std::map<std::string, int, std::less<>> raw_;      // of words as they are typed, from the sayings
  std::map<std::string, int, std::less<>> stems_;    // of stems, from the sayings
  std::vector<Kind> kinds_;
  std::map<int, std::vector<Sequence>> sequences_;  // by first word, the longest first
  std::map<char, std::vector<std::string>> spelt_;  // known words by first letter, sorted
  mutable Stemmer stemmer_;
};

}  // namespace gearwhy
