#include "engine/advise/said_words.h"

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

Sayings SomeSayings() {
  Sayings sayings;
  sayings.alike = {{"slip", "slide", "lets go"}, {"second", "2nd", "2"}, {"fall back", "lets go"}};
  sayings.small = {"the", "in", "it", "does"};
  sayings.denials = {"not", "no", "never", "won't"};
  sayings.joins = {"and"};
  return sayings;
}

std::vector<int> WordsOf(const std::vector<SaidWord>& said) {
  std::vector<int> words;
  for (const SaidWord& word : said) words.push_back(word.word);
  return words;
}

TEST_CASE("words are compared without endings, alike ones and denials as one") {
  SaidWords words(SomeSayings());
  const auto learnt = [&](const char* text) { return words.Learn(text); };
  CHECK(learnt("Slipping, slips; slipped!") == learnt("slip slip slip"));
  CHECK(learnt("slides") == learnt("slip"));
  CHECK(learnt("buzzes buzzing") == learnt("buzz buzz"));
  CHECK(learnt("2nd second 2") == learnt("second 2nd 2nd"));
  CHECK(learnt("Won't, no, never, NOT") == std::vector<int>(4, SaidWords::kNot));
  CHECK(learnt("  ?! ").empty());
  // Groups that share a text are one, and several words may be alike one; small ones may stand between.
  CHECK(learnt("falls back") == learnt("slip"));
  CHECK(learnt("it lets the go") == learnt("it slip"));
  CHECK(learnt("lets, go") != learnt("slip"));
}

TEST_CASE("a slip of the pen is taken for the known word that is nearest, but no code for another") {
  SaidWords words(SomeSayings());
  words.Learn("reverse shudders P0741");
  const auto heard = [&](const char* text) { return WordsOf(words.Hear(text)); };
  CHECK(heard("revrese") == words.Learn("reverse"));
  CHECK(heard("shuders") == words.Learn("shudders"));
  CHECK(words.Hear("reverse")[0].sure == 1);
  CHECK(words.Hear("revrese")[0].sure < 1);
  CHECK(heard("P0742") == std::vector<int>{-1});
  CHECK(heard("xyzzy") == std::vector<int>{-1});
}

TEST_CASE("a word heard knows its place, and what stands before it") {
  SaidWords words(SomeSayings());
  words.Learn("slip reverse");
  const auto said = words.Hear("no reverse, it lets go 1.5 x");
  REQUIRE(said.size() == 7);
  CHECK_FALSE(said[1].breaks);
  CHECK(said[2].breaks);
  CHECK(said[3].begin == 15);
  CHECK(said[3].end == 22);
  CHECK_FALSE(said[5].breaks);  // the point of a number is none of a sentence
}

}  // namespace
}  // namespace gearwhy
