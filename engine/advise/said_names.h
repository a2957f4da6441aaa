// Said names: which things of this transmission are spoken of, "third", "backwards", "brake E", and where.
//
// In: the values of the findings' slots, each with what it is called: its name, as it is spoken of (without and of what
// stands in brackets), and what the sayings call a thing of which a fact is so. Out: mentions in the order of
// the text, each of one value or of several that are called alike ("drive": all that are shifted by
// themselves). Where several names fit at one place the longest holds. Method: names are compared as words
// (said_words.h).
// Cost: for each word said, the names that begin with it.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "engine/advise/said_words.h"
#include "engine/chain/fact_store.h"
#include "engine/model/statement.h"

namespace gearwhy {

// What fills a slot, as spoken: "brake D".
using SayValueOf = std::function<std::string(const Value& value, const Slot& slot)>;

struct Mention {
  std::string kind;                // of thing: "range"
  std::vector<Value> values;       // sorted
  std::size_t begin = 0, end = 0;  // its words
  bool listed = false;             // one more of a list: "second and third", not "second to third"
  friend bool operator==(const Mention&, const Mention&) = default;
};

class SaidNames {
 public:
  // The words learn the names. They must outlive this.
  SaidNames(const std::vector<Statement>& findings, const Words& words, const SayValueOf& say_value,
            const FactStore* facts, SaidWords& said_words);

  std::vector<Mention> In(const std::vector<SaidWord>& said) const;
  // How much of a value's longest name was said, wherever it stands; a word tells more the fewer share it.
  double Share(const std::string& kind, const Value& value, const std::vector<SaidWord>& said) const;

 private:
  struct Name {
    std::vector<int> words;
    Value value;
  };
  struct OfKind {
    std::map<int, std::vector<Name>> by_first;
    std::map<Value, std::vector<std::vector<int>>> by_value;
    std::map<int, int> uses;  // how many values use a word
  };
  void Add(OfKind& kind, const Value& value, const std::string& text);
  std::vector<Mention> OfOneKind(const std::string& name, const OfKind& kind,
                                 const std::vector<SaidWord>& said) const;

  SaidWords& words_;
  std::map<std::string, OfKind> kinds_;
};

}  // namespace gearwhy
