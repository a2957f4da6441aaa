// Say: statements as the sentences a reader sees.
//
// The words give a sentence with slots in braces, the unit gives the spoken names of its elements, ranges and
// parts.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "engine/model/case.h"
#include "engine/model/statement.h"
#include "engine/model/words.h"

namespace gearwhy {

// Spoken names by kind and value: {"element", {"D", "brake D"}}.
using SpokenNames = std::map<std::string, std::map<std::string, std::string>, std::less<>>;

class Speaker {
 public:
  // The words must outlive this.
  Speaker(const Words& words, SpokenNames names) : words_(words), names_(std::move(names)) {}

  // "there is no drive in reverse"; with `present` false "reverse drives". A clause without capital or full
  // stop.
  std::string Say(const Statement& statement, bool present = true) const;
  // The few-words form where the words give one.
  std::string SayShort(const Statement& statement) const;
  // A slot's value as spoken: "brake D", "3.2 bar".
  std::string SayValue(const Value& value, const Slot& slot) const;
  // A text with variables in braces ("without {e} nothing holds"), each spoken as what it stands for.
  std::string SayText(std::string_view text, const Bindings& bindings, const VariableKinds& variables) const;
  // A name of this kind as spoken; underscores become spaces where nobody gave a spoken form.
  std::string SayName(const std::string& name, std::string_view kind) const;

 private:
  std::string Fill(std::string_view text, const Word& word, const Statement& statement) const;

  const Words& words_;
  SpokenNames names_;
};

// A condition as said with what is known so far: "brake D is applied in third", "it is not so that ...", "3.2
// bar < 8 bar". Variables that are not bound yet are said as "some element".
std::string SayCondition(const Speaker& speaker, const Words& words, const Condition& condition,
                         const Bindings& bindings);

// How a report is known: "felt on a road test, cold".
std::string SayTrust(const Words& words, const Observation& observation);

// The names in braces of a text, in order. `well_formed` is false when a brace is not closed.
std::vector<std::string> BracedNames(std::string_view text, bool* well_formed);

// "Reverse drives" from "reverse drives".
std::string Capitalised(std::string_view clause);
// "Reverse drives." from "reverse drives".
std::string AsSentence(std::string_view clause);

}  // namespace gearwhy
