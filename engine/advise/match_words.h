// Match words: what a person says in their own words, as findings of this transmission.
//
// In: free text, "no reverse and slips in 3rd". Out: the findings it may mean, the likeliest first.
// Method: the text becomes words (said_words.h) and mentions of things (said_names.h). It is taken apart at joins and
// commas where its parts are understood better alone than together. Each part is compared with the sentence
// of each finding and with every phrase of its `ask`, in both directions: how much of what was said the
// phrase covers, and how much of the phrase was said. Words weigh by how few findings use them. What is
// mentioned fills the slots; findings that differ only in slots of which nothing was said come as one match.
// A denial of a phrase is the finding that is not so. A finding that tells of another how it comes, as with
// heat (one that needs the other), stands behind it. It only proposes: whoever asks lets the person choose.
// Cost: to make one, the words of the vocabulary; a text, all phrases for each way of taking neighbouring parts together.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "engine/advise/said_names.h"
#include "engine/advise/said_words.h"
#include "engine/model/statement.h"
#include "engine/model/words.h"

namespace gearwhy {

struct WordsMatch {
  std::string word;  // "slips"
  std::vector<Statement>
      meant;  // one, or several when the text names several or leaves open which: in the order given
  bool present = true;     // false: it was said not to be so
  bool all_named = false;  // the text names just these: all of them are meant
  double score = 0;        // 0 to 1 and a little more
};

// What was understood of a text.
struct Understood {
  std::vector<WordsMatch> matches;          // the likeliest first
  int likeliest = 0;                        // how many of them, from the first, stand for all that was said
  std::vector<std::string> not_understood;  // parts of the text that sound like nothing
};

class WordsMatcher {
 public:
  // `findings`: what may be meant. `facts`: of this transmission, for what things are called; may be null.
  // All but `facts` must outlive this.
  WordsMatcher(const std::vector<Statement>& findings, const Words& words, const SayValueOf& say_value,
               const FactStore* facts);

  // At most `most` matches, ties by name; nothing that has next to nothing in common with the text.
  Understood Match(std::string_view text, int most) const;
  // Those of the statements, all of one word, that a text names: "all" is for the caller, "first, third",
  // "2-3".
  std::vector<Value> NamedValues(std::string_view text, const std::string& kind) const;
  std::vector<Statement> Named(std::string_view text, const std::vector<Statement>& statements) const;

 private:
  struct Phrase {
    std::vector<int> words;
    bool present = true;
    double bonus = 0;
    bool denies = false;        // it holds a denial
    bool denies_thing = false;  // and nothing else but a slot: "no {range}"
  };
  struct Finding {
    const Word* word = nullptr;
    std::vector<const Statement*> statements;
    std::vector<Phrase> phrases;
    std::vector<std::set<int>> before_slot;  // by slot: words that stand before it
    bool tells_how = false;                  // of another finding how it comes
  };
  // Neighbouring words of a text, with what they mention.
  struct Part {
    std::vector<SaidWord> said;
    std::vector<Mention> mentions;
  };
  struct Fit {
    std::vector<const Statement*> statements;  // the best
    double quality = 0;
    std::vector<bool> used;  // by word said: it fills a slot
    bool all_said = false;   // no slot was left open
  };
  struct Scored {
    double score = 0;
    bool present = true;
    std::vector<bool> covered;  // by word said
    double precision = 0;
  };
  // What of a text is one phrase's.
  struct Heard {
    std::vector<bool> hit;    // by word said
    bool is_said = false;     // any that counts
    bool has_denial = false;  // that is none of the phrase's own
    bool denied = false;      // the phrase is denied by it
  };
  struct Candidate {
    const Finding* finding = nullptr;
    Fit fit;
    Scored scored;
  };
  static bool IsBetter(const Candidate& a, const Candidate& b) { return a.scored.score > b.scored.score; }
  struct PartMatches {
    std::vector<WordsMatch> matches;
    int likeliest = 0;
    double worth = 0;  // score of the best, times the weight of the words
  };

  std::vector<Phrase> PhrasesOf(const Word& word);
  std::vector<std::set<int>> WordsBeforeSlots(const Word& word);
  double Weight(int word) const;
  Part PartOf(const Part& whole, std::size_t begin, std::size_t end) const;
  std::optional<std::size_t> NamedSlot(const Finding& finding, const Part& part, const Mention& mention,
                                       const std::vector<std::size_t>& of) const;
  std::optional<double> FillsSlots(const Finding& finding, const Part& part, const Statement& statement,
                                   const std::vector<std::size_t>& of,
                                   const std::vector<const Mention*>& mentions) const;
  Fit FitOf(const Finding& finding, const Part& part) const;
  Heard Hear(const Phrase& phrase, const std::vector<SaidWord>& said, const std::vector<bool>& used) const;
  Scored Score(const Finding& finding, const Part& part, const std::vector<bool>& used,
               const std::vector<bool>& light) const;
  std::vector<Candidate> HowItComes(const Part& part, std::vector<bool>& light) const;
  std::optional<Candidate> CandidateOf(const Finding& finding, const Part& part,
                                       const std::vector<bool>& light) const;
  PartMatches MatchPart(const Part& part) const;
  std::vector<std::size_t> Cuts(const Part& whole) const;

  const Words& vocabulary_;
  SaidWords words_;
  SaidNames names_;
  std::vector<Finding> findings_;  // by name
  std::vector<double> weights_;    // by word
};

}  // namespace gearwhy
