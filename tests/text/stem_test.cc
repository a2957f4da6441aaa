#include "engine/text/stem.h"

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// From the sample vocabulary on the page of Snowball's English stemmer; from memory.
TEST_CASE("English words lose their endings as Snowball's sample vocabulary says") {
  Stemmer stemmer;
  const std::pair<const char*, const char*> rows[] = {
      {"consign", "consign"},     {"consigned", "consign"},   {"consigning", "consign"},
      {"consignment", "consign"}, {"consistency", "consist"}, {"consistently", "consist"},
      {"consolation", "consol"},  {"consolingly", "consol"},  {"conspiracy", "conspiraci"},
      {"constables", "constabl"}, {"knack", "knack"},         {"knackeries", "knackeri"},
      {"knightly", "knight"},     {"knives", "knive"},        {"knocked", "knock"},
      {"knots", "knot"},          {"knotted", "knot"},
  };
  for (const auto& [word, stem] : rows) {
    INFO(word);
    CHECK(stemmer.Stem(word) == stem);
  }
}

TEST_CASE("what is no English word comes back as it is") {
  Stemmer stemmer;
  CHECK(stemmer.Stem("p0741") == "p0741");
  CHECK(stemmer.Stem("") == "");
  CHECK(stemmer.Stem("\xC3\xA4\xC3\xB6") == "\xC3\xA4\xC3\xB6");
}

}  // namespace
}  // namespace gearwhy
