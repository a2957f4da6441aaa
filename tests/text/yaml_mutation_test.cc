// Thousands of broken texts: whatever a reader is given, it must answer with a tree or with located, harmless
// errors.
#include <algorithm>
#include <cstddef>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "engine/text/safe_text.h"
#include "engine/text/yaml.h"
#include "tests/support/catch.h"
#include "tests/support/sound_tree.h"

namespace gearwhy {
namespace {

const std::vector<std::string> kSeeds = {
    "rules:\n  - name: slips_hot\n    when: {slips: {range: $r, heat: hot}}\n    then: [weak: {range: $r}, "
    "\"a: b\"]\n"
    "    says: >\n      It slips when it is hot.\n      Then it is weak.\n",
    "# words\nfacts:\n  slips:\n    slots: {range: ranges, heat: [hot, cold]}\n    says: 'it''s slipping in "
    "{range}'\n"
    "events: {}\nscale:\n- always: 0.98\n- often: 0.6\n",
    "---\na: |+\n  text\n\n  more\n\nb: \"\\u00e4\\n\\\"x\\\"\"\nc: [1, [2, [3, {d: e}]], ]\n\"quoted key\": "
    "~\n...\n",
    "\xEF\xBB\xBF"
    "case: 17\r\nseen:\r\n  - {no_drive: {range: R}}\r\n  -\r\n    - \u00fc\u4e2d\U0001F527\r\nempty:\r\n",
    "? a\n: b\n&x c: *x\nd: !!str e\n<<: {f: g}\n",
};

const std::vector<std::string> kPieces = {
    ":",  ": ",  "-",     "- ",    "\n",   "\n\n", "  ",      "\t",          "[",    "]",      "{",
    "}",  ",",   "\"",    "'",     "#",    " #",   "|",       ">",           "|-\n", "? ",     "&a",
    "*a", "!t ", "%YAML", "---\n", "...",  "\\",   "\\u202e", "\xFF",        "\r",   "\r\n",   "\u00a0",
    "@",  "`",   "~",     "null",  "\x1b", "{{{{", "[[[[[[",  "\n      - x", "a: b", "\"\n\"", "\xE4\xB8",
};

// The standard fixes the numbers of mt19937, but not those of its distributions.
class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  std::size_t Below(std::size_t end) { return engine_() % end; }

 private:
  std::mt19937 engine_;
};

std::string Mutated(std::string text, Dice& dice) {
  for (std::size_t edits = 1 + dice.Below(5); edits > 0; --edits) {
    const std::size_t at = dice.Below(text.size() + 1);
    const std::size_t length = std::min(text.size() - at, dice.Below(12));
    switch (dice.Below(5)) {
      case 0:
        text.erase(at, length);
        break;
      case 1:
        text.insert(at, kPieces[dice.Below(kPieces.size())]);
        break;
      case 2:
        text.insert(dice.Below(text.size() + 1), text.substr(at, length));
        break;
      case 3:
        text.replace(at, length, kPieces[dice.Below(kPieces.size())]);
        break;
      default: {
        const std::string& other = kSeeds[dice.Below(kSeeds.size())];
        text = text.substr(0, at) + other.substr(dice.Below(other.size()));
      }
    }
  }
  return text;
}

TEST_CASE("a mutated text gives a tree or located, harmless errors") {
  int trees = 0, refusals = 0;
  for (unsigned seed = 0; seed < 6000; ++seed) {
    Dice dice(seed);
    const std::string text = Mutated(kSeeds[dice.Below(kSeeds.size())], dice);
    CAPTURE(seed, SafeText(text));
    Sources sources;
    Diagnostics diagnostics;
    const auto tree = ParseYaml(sources, sources.Add("mutated.yaml", text), diagnostics);
    REQUIRE(tree.has_value() != diagnostics.HasErrors());
    (tree ? trees : refusals) += 1;
    if (tree) REQUIRE(WrongInTree(*tree, sources) == "");
    REQUIRE(WrongInMessages(diagnostics, sources) == "");
  }
  CHECK(trees > 100);
  CHECK(refusals > 1000);
}

}  // namespace
}  // namespace gearwhy
