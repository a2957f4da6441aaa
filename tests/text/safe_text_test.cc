#include "engine/text/safe_text.h"

#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "engine/text/utf8.h"
#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

using namespace std::string_literals;

// The Unicode Standard, table 3-7, "Well-Formed UTF-8 Byte Sequences", and the examples of ill-formed ones
// beside it (from memory).
TEST_CASE("UTF-8 is decoded as the standard has it") {
  const struct {
    std::string_view text;
    char32_t value;
    std::size_t bytes;
    bool valid;
  } cases[] = {
      {"A", U'A', 1, true},
      {"\xC2\x80", 0x80, 2, true},
      {"\xDF\xBF", 0x7FF, 2, true},
      {"\xE0\xA0\x80", 0x800, 3, true},
      {"\xED\x9F\xBF", 0xD7FF, 3, true},
      {"\xEE\x80\x80", 0xE000, 3, true},
      {"\xF0\x90\x80\x80", 0x10000, 4, true},
      {"\xF4\x8F\xBF\xBF", 0x10FFFF, 4, true},
      {"\x80", 0x80, 1, false},              // a continuation alone
      {"\xC0\xAF", 0xC0, 1, false},          // overlong
      {"\xC1\xBF", 0xC1, 1, false},          // overlong
      {"\xE0\x9F\xBF", 0xE0, 1, false},      // overlong
      {"\xF0\x8F\xBF\xBF", 0xF0, 1, false},  // overlong
      {"\xED\xA0\x80", 0xED, 1, false},      // a surrogate
      {"\xF4\x90\x80\x80", 0xF4, 1, false},  // above U+10FFFF
      {"\xF5\x80\x80\x80", 0xF5, 1, false},
      {"\xFF", 0xFF, 1, false},
      {"\xE4\xB8", 0xE4, 1, false},  // cut off
      {"\xE4\xB8z", 0xE4, 1, false},
      {"\xC3", 0xC3, 1, false},
  };
  for (const auto& c : cases) {
    const CodePoint found = DecodeUtf8(c.text, 0);
    CAPTURE(SafeText(c.text));
    CHECK(found.value == c.value);
    CHECK(found.bytes == c.bytes);
    CHECK(found.valid == c.valid);
  }
}

TEST_CASE("what could move a cursor or hide text is escaped, everything else passes") {
  const struct {
    std::string text;
    std::string safe;
  } cases[] = {
      {"", ""},
      {"plain, \u00fcml\u00e4ut, \u4e2d\u6587, e\u0301, \U0001F527",
       "plain, \u00fcml\u00e4ut, \u4e2d\u6587, e\u0301, \U0001F527"},
      {"a\n\tb", "a\n\tb"},
      {"\x1b[31mred", "\\x1b[31mred"},
      {"a\0b\rc\x7f"s, "a\\x00b\\x0dc\\x7f"},
      {"\u009b31m", "\\u009b31m"},
      {"\x9b", "\\x9b"},
      {"\u202e\u2066\u200f\u061c", "\\u202e\\u2066\\u200f\\u061c"},
      {"\u200b\u200d\u2060\ufeff\u00ad", "\\u200b\\u200d\\u2060\\ufeff\\u00ad"},
      {"\u2028\u2029", "\\u2028\\u2029"},
      {"\U000e0041", "\\U000e0041"},
      {"caf\xe9 \xed\xa0\x80", "caf\\xe9 \\xed\\xa0\\x80"},
      {"\u00a0", "\u00a0"},
  };
  for (const auto& c : cases) {
    CAPTURE(c.safe);
    CHECK(SafeText(c.text) == c.safe);
    CHECK(SafeText(SafeText(c.text)) == c.safe);
  }
  CHECK(SafeLine("a\n\tb\x1b") == "a\\n\\tb\\x1b");
}

TEST_CASE("text in ticks stays on one line and short") {
  CHECK(InTicks("1,5") == "`1,5`");
  CHECK(InTicks("a\nb") == "`a\\nb`");
  CHECK(InTicks("abcdef", 6) == "`abcdef`");
  CHECK(InTicks("abcdefg", 6) == "`abcdef...`");
  CHECK(InTicks("\u4e2d\u6587\u5b57", 4) == "`\u4e2d\u6587...`");
  CHECK(InTicks(std::string(1 << 20, 'x')).size() == 65);
  CHECK(InTicks("\x1b\x1b\x1b", 6) == "`\\x1b\\x...`");
}

// Unicode Standard Annex #11, East Asian Width; general categories Mn and Me take no column. Compared once
// with the wcwidth of the C library for all characters: only prepended marks (U+0600), circled numbers on
// black squares (U+3248) and hexagrams (U+4DC0) differ, which the annex calls neutral or ambiguous.
TEST_CASE("width on a terminal follows East Asian Width") {
  const struct {
    std::string_view text;
    int width;
  } cases[] = {
      {"", 0},
      {"abc", 3},
      {"\u00e4\u00f6", 2},
      {"e\u0301", 1},       // combining acute
      {"\u4e2d\u6587", 4},  // ideographs
      {"\u3042\uff21", 4},  // hiragana, fullwidth A
      {"\uff71", 1},        // halfwidth katakana
      {"\uac00", 2},        // Hangul syllable
      {"\u1100\u1161", 2},  // the same as leading consonant and vowel
      {"\U0001F527", 2},    // wrench
      {"\u2713", 1},        // check mark
      {"\U00020000", 2},    // ideograph of plane 2
      {"\u0e01\u0e34", 1},  // Thai with a vowel above
      {"\ufe0f", 0},        // variation selector
      {"a\tb\n", 2},
      {"\xff\xff", 2},
  };
  for (const auto& c : cases) {
    CAPTURE(std::string(c.text));
    CHECK(DisplayWidth(c.text) == c.width);
  }
}

TEST_CASE("text is broken at spaces, or inside a word that is too long") {
  using Lines = std::vector<std::string>;
  const struct {
    std::string_view text;
    int width;
    Lines lines;
  } cases[] = {
      {"", 10, {""}},
      {"one two three", 7, {"one two", "three"}},
      {"one two three", 8, {"one two", "three"}},
      {"one two three", 13, {"one two three"}},
      {"  one   two  ", 20, {"one two"}},
      {"a\nb c\n\nd", 20, {"a", "b c", "", "d"}},
      {"abcdefgh", 3, {"abc", "def", "gh"}},
      {"x abcdefgh y", 3, {"x", "abc", "def", "gh", "y"}},
      {"x abcdefg y", 3, {"x", "abc", "def", "g y"}},
      {"\u4e2d\u6587\u5b57", 4, {"\u4e2d\u6587", "\u5b57"}},
      {"\u4e2d\u6587", 1, {"\u4e2d", "\u6587"}},
      {"e\u0301e\u0301", 1, {"e\u0301", "e\u0301"}},
      {"ab", 0, {"a", "b"}},
  };
  for (const auto& c : cases) {
    CAPTURE(std::string(c.text), c.width);
    CHECK(WrapText(c.text, c.width) == c.lines);
  }
}

TEST_CASE("in ASCII, letters lose their marks as the tables of Unicode part them") {
  if (!HasPrograms({"python3"})) return;
  // Python's unicodedata: compatibility decomposition, without the combining marks.
  const Ran ran = RunCommand(
      "python3 -c '\n"
      "import unicodedata\n"
      "for c in [*range(0xC0, 0x180), *range(0x1E00, 0x1F00), 0xB2, 0xBD, 0x2026, 0xFB01]:\n"
      "    parts = unicodedata.normalize(\"NFKD\", chr(c))\n"
      "    plain = \"\".join(p for p in parts if not unicodedata.combining(p)).replace(chr(0x2044), \"/\")\n"
      "    if plain.isascii(): print(chr(c), plain)\n'");
  std::istringstream rows(ran.out);
  int count = 0;
  for (std::string letter, plain; rows >> letter >> plain; ++count) CHECK(InAscii(letter) == plain);
  CHECK(count > 300);
}

TEST_CASE(
    "in ASCII, signs are written as one writes them, and what there is no way to write is as wide as it "
    "was") {
  CHECK(InAscii("2 × 3 ÷ 4 ± 5 – 6 · 7") == "2 x 3 / 4 +- 5 - 6 - 7");
  CHECK(InAscii("8 → 9") == "8 > 9");
  CHECK(InAscii("90 °C, 5 µm") == "90 degC, 5 um");
  CHECK(InAscii("████▌ ▍") == "##### |");
  CHECK(InAscii("€ \xE6\x97\xA5 \xF0\x9F\x98\x80") == "? ?? ??");  // a wide character, and an emoji
  CHECK(InAscii("e\xCC\x81") == "e");                              // a mark of its own
  CHECK(InAscii("a\xFF"
                "b") == "a?b");  // no UTF-8
  CHECK(InAscii("tab\t, line\n, \x1b[1mbold") == "tab\t, line\n, \x1b[1mbold");
}

}  // namespace
}  // namespace gearwhy
