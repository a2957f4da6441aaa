// Stem: an English word without its ending, so that "slips", "slipped" and "slipping" compare as one.
//
// In: one word in lower case. Out: its stem, which need not be a word itself ("engages" -> "engag"); words that are
// none of English come back as they are. Method: Porter's second stemmer for English, by libstemmer
// (Snowball), whose only user this is. Cost: about a microsecond. One object is for one thread.
#pragma once

#include <memory>
#include <string>
#include <string_view>

namespace gearwhy {

class Stemmer {
 public:
  Stemmer();
  ~Stemmer();
  std::string Stem(std::string_view word);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace gearwhy
