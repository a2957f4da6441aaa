// Say: statements, and what the reports hold as data, as the sentences a reader sees.
//
// The words give a sentence with slots in braces, the unit gives the spoken names of its elements, ranges and
// parts, the sources say where something stands.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "engine/explain/origin.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

// Made once for a diagnosis, or for a unit. May be shared by threads while nothing is added to the sources.
class Speaker {
 public:
  // All must outlive this; `unit` may be null.
  Speaker(const Words& words, const Unit* unit, const Sources& sources);
  Speaker(const Diagnosis& diagnosis, const Sources& sources)
      : Speaker(diagnosis.book->words, diagnosis.unit, sources) {
    layers_ = &diagnosis.book->layers;
  }

  // Of what stands in a rulebook, without a unit.
  Speaker(const Rulebook& book, const Sources& sources) : Speaker(book.words, nullptr, sources) {
    layers_ = &book.layers;
  }

  // "there is no drive in reverse"; with `present` false "reverse drives". A clause without capital or full
  // stop.
  std::string Say(const Statement& statement, bool present = true) const;
  // A word's sentence where slots are still open: "there is no drive in ...". `known`: what the others hold.
  std::string SayOpen(const Word& word, const Statement* known = nullptr, const std::vector<int>& open = {},
                      std::string_view blank = "...") const;
  // A fact with something else for its number: "the pack of clutch B has ______ of clearance".
  std::string SayWith(const Statement& fact, std::string_view number) const;
  // A text of the rulebook with what its variables stand for; empty where there is none.
  std::string Say(const Phrase& phrase) const;
  // The few-words form where the words give one.
  std::string SayShort(const Statement& statement) const;
  // A slot's value as spoken: "brake D", "3.2 bar".
  std::string SayValue(const Value& value, const Slot& slot) const;
  // A name of this kind as spoken; underscores become spaces where nobody gave a spoken form.
  std::string SayName(const std::string& name, std::string_view kind) const;
  // A condition as said with what is known so far: "brake D is applied in third", "it is not so that ...",
  // "3.2 bar < 8 bar". Variables that are not bound yet are said as "some element".
  std::string SayCondition(const Condition& condition, const Bindings& bindings) const;

  // How a report is known: "felt on a road test, cold", "by the rule high-distance".
  std::string SayTrust(const Origin& origin) const;
  // Where something stands: "rules/words.yaml:12".
  std::string SayPlace(const Place& place) const { return sources_.Describe(place); }
  // The same, with the rule, chart or factor that stands there, and what a layer above has changed of it:
  // "rules/x.yaml:12 (rule carries-most); chance 3% instead of 2% by our-shop/x.yaml:4: ...".
  std::string SayOrigin(const Origin& origin) const;

  // Where a place stands among the layers of the rulebook, for data. Of a rulebook of one layer all this is
  // empty.
  struct Layered {
    std::string layer;  // of the last that has a say in it
    std::vector<const LayerChange*> changes;
  };
  Layered LayeredAt(const Place& place) const;
  std::string LayerName(int layer) const { return layers_->names[static_cast<std::size_t>(layer)]; }

  // What the words and the unit call these; empty for what they do not know.
  std::string SayAccess(const std::string& access) const;
  std::string SayCaution(const std::string& caution) const;
  std::string SayUnit() const { return unit_ == nullptr ? "" : unit_->says; }

 private:
  std::string Fill(std::string_view text, const Word& word, const Statement& statement) const;

  const Words& words_;
  const Unit* unit_;
  const Sources& sources_;
  const Layers* layers_ = nullptr;  // null: of one layer
  // Spoken names by kind and value: {"element", {"D", "brake D"}}.
  std::map<std::string, std::map<std::string, std::string>, std::less<>> names_;
};

// What a change makes of an entry: "chance 3% instead of 2%, how_often usually"; long values cut.
std::string SayChangedKeys(const LayerChange& change);

// How an observation is known: "felt on a road test, cold".
std::string SayTrust(const Words& words, const Observation& observation);

// "Reverse drives" from "reverse drives".
std::string Capitalised(std::string_view clause);
// "Reverse drives." from "reverse drives".
std::string AsSentence(std::string_view clause);

}  // namespace gearwhy
