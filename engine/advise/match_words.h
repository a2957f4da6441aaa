// Match words: what a person says in their own words, as findings of this transmission.
//
// In: free text, "no reverse", "slips in 3rd", "flares 2-3". Out: the findings it may mean, best first.
// Method: the text becomes words without endings ("slipping" -> "slip"), with numerals as numbers ("2nd",
// "second", "2" alike) and with all denials alike ("no", "won't"). Each finding is compared with its
// sentence and with every phrase of its `ask`, in both directions: how much of what was said the finding
// covers, and how much of the phrase was said. Words weigh by how few findings use them. A word may be off
// by a slip of the pen. Ranges, elements and parts are recognised by name or as spoken, in the order of
// the slots. Findings that differ only in slots that were not mentioned come as one match. It only
// proposes: whoever asks lets the person choose.
// Cost: the words of the vocabulary, compared once with each word said; then the findings.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/model/statement.h"
#include "engine/model/words.h"

namespace gearwhy {

struct WordsMatch {
  std::string word;              // "slips"
  std::vector<Statement> meant;  // one, or several when the text leaves open which: in the order given
  double score = 0;              // 0 to 1 and a little more
};

// What fills a slot, as spoken: "brake D".
using SayValueOf = std::function<std::string(const Value& value, const Slot& slot)>;

// At most `most`, best first, ties by name; nothing that has next to nothing in common with the text.
// `findings` are what may be meant.
std::vector<WordsMatch> MatchFindings(std::string_view text, const std::vector<Statement>& findings,
                                      const Words& words, const SayValueOf& say_value, int most);

// The words of a text as they are compared: "Won't pull in 2nd!" -> "not", "pull", "in", "#2".
std::vector<std::string> ComparedWords(std::string_view text);

}  // namespace gearwhy
