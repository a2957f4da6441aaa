// Origin and phrase: what reasons are made of, before a renderer makes sentences of them.
//
// An Origin says where something stands that a reason rests on; a Phrase is a text of the rulebook with what
// its variables stand for. Both are made out of a diagnosis. What a Phrase refers to is the rulebook's, which
// must outlive it.
#pragma once

#include <string>
#include <vector>

#include "engine/model/statement.h"

namespace gearwhy {

struct Origin {
  enum class Kind {
    kCase,        // the case says so
    kRule,        // a rule concluded it
    kUnit,        // the file of the unit says so
    kCalculated,  // from the gearsets and the apply chart
    kReckoned,    // from the facts that stand as its premises
    kKind,        // it is one of its kind
    kChart,       // a line of a chart
    kChance,      // a line of `chances`
    kFactor,      // a factor on the odds of one
    kDecision,    // about a part
    kSilence,     // nobody said so
    kReading,     // it was measured
  };
  Kind kind = Kind::kCase;
  // Of the entry of the rulebook; of a report of the case its trust, a name in the words; of a reading what
  // it measures, a fact of the words. Else empty.
  std::string id;
  std::vector<std::string> under = {};  // the circumstances of a report of the case, names in the words
  Place place = {};
  const std::string* says = nullptr;  // of a silence: how it is known; of a reading: with what
};

struct Phrase {
  const std::string* text = nullptr;  // null: there is nothing to say
  Bindings bindings = {};
  const VariableKinds* variables = nullptr;

  bool IsEmpty() const { return text == nullptr || text->empty(); }
};

}  // namespace gearwhy
