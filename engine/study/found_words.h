// Found words: what somebody says, as the statements of a rulebook that it means, and what is known of these.
//
// In: a text, and a transmission with nothing observed. Out: the findings it may mean, the likeliest first
// (advise/match_words.h); of each, what brings it about in this transmission, and which checks tell it.
// Cost: one matching; for each check a join.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/advise/match_words.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

struct FoundWord {
  struct Cause {
    Statement statement;
    double how_often = 0;
    std::string chart;  // its id
  };
  Statement statement;
  std::size_t of = 1;  // it is one of so many that differ only in what nobody has said
  bool present = true;
  double score = 0;
  std::vector<Cause> causes;        // the most frequent first
  std::vector<std::string> checks;  // ids, in the order of the book
};

std::vector<FoundWord> FindWords(std::string_view text, const Diagnosis& unobserved,
                                 const SayValueOf& say_value, int most);

}  // namespace gearwhy
