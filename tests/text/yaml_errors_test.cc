// Every text that the YAML reader refuses, and the whole message that it gives.
#include <string>

#include "engine/text/yaml.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

struct Refused {
  const char* what;
  std::string text;
  std::string shown;
};

std::string Errors(const std::string& text, const YamlLimits& limits = {}) {
  Sources sources;
  Diagnostics diagnostics;
  const auto tree = ParseYaml(sources, sources.Add("f.yaml", text), diagnostics, limits);
  CHECK_FALSE(tree.has_value());
  return RenderDiagnostics(diagnostics, sources);
}

const Refused kRefused[] = {
    {"a text that is not UTF-8", "a: 1\nb: caf\xE9\nc: \xE9\n",
     "f.yaml:2:7: error: the byte \\xe9 is not UTF-8; save the file as UTF-8 [not-utf8]\n"
     "    2 | b: caf\\xe9\n"
     "      |       ^^^^\n"},
    {"a UTF-16 text",
     std::string("\xFF\xFE"
                 "a\x00:\x00",
                 6),
     "f.yaml: error: the file is written in UTF-16; save it as UTF-8 [not-utf8]\n"},
    {"an escape character", "a: \x1B[31mred\n",
     "f.yaml:1:4: error: the invisible character \\x1b is not allowed; delete it [control-character]\n"
     "    1 | a: \\x1b[31mred\n"
     "      |    ^^^^\n"},
    {"a right-to-left override", "a: x\xE2\x80\xAEy\n",
     "f.yaml:1:5: error: the invisible character \\u202e is not allowed; delete it [control-character]\n"
     "    1 | a: x\\u202ey\n"
     "      |     ^^^^^^\n"},
    {"a zero-width space", "a\xE2\x80\x8B: x\n",
     "f.yaml:1:2: error: the invisible character \\u200b is not allowed; delete it [control-character]\n"
     "    1 | a\\u200b: x\n"
     "      |  ^^^^^^\n"},
    {"a control character as an escape", "a: \"x\\x1b[31m\"\n",
     "f.yaml:1:4: error: the text holds the invisible character \\x1b, written as an escape "
     "[control-character]\n"
     "    1 | a: \"x\\x1b[31m\"\n"
     "      |    ^^^^^^^^^^^\n"},
    {"an override as an escape", "a: [\"\\u202e\"]\n",
     "f.yaml:1:5: error: the text holds the invisible character \\u202e, written as an escape "
     "[control-character]\n"
     "    1 | a: [\"\\u202e\"]\n"
     "      |     ^^^^^^^^\n"},
    {"a carriage return alone",
     "a: 1\x0D"
     "b: 2\n",
     "f.yaml:1:5: error: a carriage return stands without a newline; save the file with the line ends of "
     "Unix or Windows [lone-return]\n"
     "    1 | a: 1\\x0db: 2\n"
     "      |     ^^^^\n"},
    {"a tab as indentation",
     "a:\n\x09"
     "b: 1\n",
     "f.yaml:2:1: error: a tab cannot indent a line; use spaces [tab]\n"
     "    2 | \\tb: 1\n"
     "      | ^^\n"},
    {"a tab behind a dash",
     "- a\n-\x09"
     "b: 1\n",
     "f.yaml:2:2: error: a tab cannot indent a line; use spaces [tab]\n"
     "    2 | -\\tb: 1\n"
     "      |  ^^\n"},
    {"a no-break space as indentation", "a:\n\xC2\xA0 b: 1\n",
     "f.yaml:2:1: error: a no-break or other special space cannot indent a line; use spaces "
     "[no-break-space]\n"
     "    2 |   b: 1\n"
     "      | ^\n"},
    {"a no-break space behind a colon",
     "a:\xC2\xA0"
     "b\n",
     "f.yaml:1:3: error: a no-break space stands behind the colon; use a space [no-break-space]\n"
     "    1 | a: b\n"
     "      |   ^\n"},
    {"a directive", "%YAML 1.2\n---\na: b\n",
     "f.yaml:1:1: error: a line cannot start with `%` here; put the text in quotes [directive]\n"
     "    1 | %YAML 1.2\n"
     "      | ^\n"},
    {"a second document", "a: 1\n---\nb: 2\n",
     "f.yaml:2:1: error: a file holds one document; delete this line or make a second file "
     "[second-document]\n"
     "    2 | ---\n"
     "      | ^^^\n"},
    {"a quote never closed", "a: x # \"no\"\nb: \"y\nc: z\n",
     "f.yaml:2:4: error: this quote is never closed, or its text goes on in lines that are not indented "
     "under it [unclosed-quote]\n"
     "    2 | b: \"y\n"
     "      |    ^\n"},
    {"a single quote never closed", "a: 'it''s\n",
     "f.yaml:1:4: error: this quote is never closed, or its text goes on in lines that are not indented "
     "under it [unclosed-quote]\n"
     "    1 | a: 'it''s\n"
     "      |    ^\n"},
    {"a quote closed by the next one", "a: \"x\nb: \"y\"\n",
     "f.yaml:1:4: error: this quote is never closed, or its text goes on in lines that are not indented "
     "under it [unclosed-quote]\n"
     "    1 | a: \"x\n"
     "      |    ^\n"},
    {"a quote around a document end", "a: \"x\n---\n  y\"\n",
     "f.yaml:1:4: error: this quote is never closed, or its text goes on in lines that are not indented "
     "under it [unclosed-quote]\n"
     "    1 | a: \"x\n"
     "      |    ^\n"},
    {"a list never closed", "a: [1, 2\nb: c\n",
     "f.yaml:1:4: error: this `[` is never closed; add the `]` [unclosed-bracket]\n"
     "    1 | a: [1, 2\n"
     "      |    ^\n"},
    {"a map never closed", "a: {b: c\n",
     "f.yaml:1:4: error: this `{` is never closed; add the `}` [unclosed-bracket]\n"
     "    1 | a: {b: c\n"
     "      |    ^\n"},
    {"an inner bracket never closed", "a: [[1, 2]\nb: c\n",
     "f.yaml:1:4: error: this `[` is never closed; add the `]` [unclosed-bracket]\n"
     "    1 | a: [[1, 2]\n"
     "      |    ^\n"},
    {"a bracket never closed in a list item", "- [\"a]\", b\n- [c]\n",
     "f.yaml:1:3: error: this `[` is never closed; add the `]` [unclosed-bracket]\n"
     "    1 | - [\"a]\", b\n"
     "      |   ^\n"},
    {"a bracket that was not opened", "a: {b: c}}\n",
     "f.yaml:1:10: error: this bracket closes nothing; delete it or put the text in quotes "
     "[unopened-bracket]\n"
     "    1 | a: {b: c}}\n"
     "      |          ^\n"},
    {"a comma missing in a list", "a: [\"b\" \"c\"]\n",
     "f.yaml:1:9: error: a comma or `]` is missing before this [missing-comma]\n"
     "    1 | a: [\"b\" \"c\"]\n"
     "      |         ^\n"
     "f.yaml:1:4: note: `[` is opened here\n"},
    {"a comma missing in a map", "a: {b: \"c\" d: e}\n",
     "f.yaml:1:12: error: a comma or `}` is missing before this [missing-comma]\n"
     "    1 | a: {b: \"c\" d: e}\n"
     "      |            ^\n"
     "f.yaml:1:4: note: `{` is opened here\n"},
    {"nothing between commas", "a: [b, , c]\n",
     "f.yaml:1:8: error: an item is missing before this [empty-item]\n"
     "    1 | a: [b, , c]\n"
     "      |        ^\n"},
    {"a key missing between commas", "a: {b: c, , d: e}\n",
     "f.yaml:1:11: error: a key is missing here [empty-key]\n"
     "    1 | a: {b: c, , d: e}\n"
     "      |           ^\n"},
    {"a key missing before a colon", ": x\n",
     "f.yaml:1:1: error: a key is missing here [empty-key]\n"
     "    1 | : x\n"
     "      | ^\n"},
    {"null as a key", "a: b\nnull: x\n",
     "f.yaml:2:1: error: `null` cannot be a key; put it in quotes [empty-key]\n"
     "    2 | null: x\n"
     "      | ^^^^\n"},
    {"a list as a key", "? [a]\n: b\n",
     "f.yaml:1:3: error: a key must be a single value, not a list or a map; put the text in quotes "
     "[key-not-text]\n"
     "    1 | ? [a]\n"
     "      |   ^\n"},
    {"a map as a key", "{a: b}: c\n",
     "f.yaml:1:1: error: a key must be a single value, not a list or a map; put the text in quotes "
     "[key-not-text]\n"
     "    1 | {a: b}: c\n"
     "      | ^\n"},
    {"a key given twice", "a: 1\nb: 2\n'a': 3\n",
     "f.yaml:3:1: error: the key `a` is given twice [duplicate-key]\n"
     "    3 | 'a': 3\n"
     "      | ^^^\n"
     "f.yaml:1:1: note: `a` is first given here\n"},
    {"a key given twice in a flow map", "x: {ab: 1, ab: 2}\n",
     "f.yaml:1:12: error: the key `ab` is given twice [duplicate-key]\n"
     "    1 | x: {ab: 1, ab: 2}\n"
     "      |            ^^\n"
     "f.yaml:1:5: note: `ab` is first given here\n"},
    {"a space missing behind a colon", "a:1\nb: 2\n",
     "f.yaml:1:2: error: a space is missing behind this colon [missing-space]\n"
     "    1 | a:1\n"
     "      |  ^\n"},
    {"a space missing behind a colon in a list", "- a: 1\n  b:2\n- c: 3\n",
     "f.yaml:2:4: error: a space is missing behind this colon [missing-space]\n"
     "    2 |   b:2\n"
     "      |    ^\n"},
    {"a space missing in a flow map", "x: {a:1}\n",
     "f.yaml:1:6: error: a space is missing behind this colon [missing-space]\n"
     "    1 | x: {a:1}\n"
     "      |      ^\n"},
    {"a space missing behind a quoted key", "\"a\":b\n",
     "f.yaml:1:4: error: a space is missing behind this colon [missing-space]\n"
     "    1 | \"a\":b\n"
     "      |    ^\n"},
    {"a colon missing behind the last key", "a: b\nc\n",
     "f.yaml:2:1: error: a colon is missing behind `c` [missing-colon]\n"
     "    2 | c\n"
     "      | ^\n"},
    {"a colon missing behind a key", "say what\nb: c\n",
     "f.yaml:1:1: error: a colon is missing in this line, or the line below is indented wrongly "
     "[missing-colon]\n"
     "    1 | say what\n"
     "      | ^^^^^^^^\n"},
    {"two colons in a line", "says: no drive: none at all\n",
     "f.yaml:1:15: error: a second colon with a space behind it stands in this line; put the value in quotes "
     "[unquoted-colon]\n"
     "    1 | says: no drive: none at all\n"
     "      |               ^\n"},
    {"two colons in a flow list", "[a: b: c]\n",
     "f.yaml:1:6: error: a second colon with a space behind it stands in this line; put the value in quotes "
     "[unquoted-colon]\n"
     "    1 | [a: b: c]\n"
     "      |      ^\n"},
    {"a line too deep below a value", "a: 1\n  b: 2\n",
     "f.yaml:2:3: error: this line is indented deeper than the line above, which already has a value "
     "[indentation]\n"
     "    2 |   b: 2\n"
     "      |   ^\n"},
    {"a line between two depths", "a:\n    b: 1\n  c: 2\n",
     "f.yaml:3:3: error: this line does not fit the lines above it; check its indentation and whether a "
     "colon is missing [indentation]\n"
     "    3 |   c: 2\n"
     "      |   ^\n"},
    {"a line less deep than the first", "  a: 1\nb: 2\n",
     "f.yaml:2:1: error: this line does not fit the lines above it; check its indentation and whether a "
     "colon is missing [indentation]\n"
     "    2 | b: 2\n"
     "      | ^\n"},
    {"a map behind a list", "- a\nb: c\n",
     "f.yaml:2:1: error: this line does not fit the lines above it; check its indentation and whether a "
     "colon is missing [indentation]\n"
     "    2 | b: c\n"
     "      | ^\n"},
    {"text behind a quote", "a: \"x\" y\n",
     "f.yaml:1:8: error: nothing can follow the closing quote or bracket here; put the whole value in quotes "
     "[text-behind-end]\n"
     "    1 | a: \"x\" y\n"
     "      |        ^\n"},
    {"text behind a bracket", "a: [x] y\n",
     "f.yaml:1:8: error: nothing can follow the closing quote or bracket here; put the whole value in quotes "
     "[text-behind-end]\n"
     "    1 | a: [x] y\n"
     "      |        ^\n"},
    {"a dash behind a colon", "a: - b\n",
     "f.yaml:1:4: error: a list cannot start here; put the dash on a line of its own, or the text in quotes "
     "[misplaced-dash]\n"
     "    1 | a: - b\n"
     "      |    ^\n"},
    {"a question mark behind a colon", "a: ? b\n",
     "f.yaml:1:4: error: a key cannot start here; put it on a line of its own [misplaced-key]\n"
     "    1 | a: ? b\n"
     "      |    ^\n"},
    {"a value that starts with @", "a: @x\n",
     "f.yaml:1:4: error: a value cannot start with `@`; put it in quotes [needs-quotes]\n"
     "    1 | a: @x\n"
     "      |    ^\n"},
    {"an unknown escape", "a: \"C:\\q\"\n",
     "f.yaml:1:9: error: this is no known escape; write `\\\\` for a backslash, or use single quotes "
     "[bad-escape]\n"
     "    1 | a: \"C:\\q\"\n"
     "      |         ^\n"},
    {"a bad hexadecimal escape", "a: \"\\xzz\"\n",
     "f.yaml:1:9: error: this is no known escape; write `\\\\` for a backslash, or use single quotes "
     "[bad-escape]\n"
     "    1 | a: \"\\xzz\"\n"
     "      |         ^\n"},
    {"a lone surrogate", "a: \"\\ud800\"\n",
     "f.yaml:1:11: error: this is no known escape; write `\\\\` for a backslash, or use single quotes "
     "[bad-escape]\n"
     "    1 | a: \"\\ud800\"\n"
     "      |           ^\n"},
    {"text behind a block mark", "a: |9x\n  b\n",
     "f.yaml:1:6: error: only `-`, `+` or an indentation from 1 to 9 can follow `|` or `>`; put the text on "
     "the next line [block-header]\n"
     "    1 | a: |9x\n"
     "      |      ^\n"},
    {"an anchor", "a: &x b\n",
     "f.yaml:1:4: error: anchors (`&`) are not allowed; put the text in quotes [anchor]\n"
     "    1 | a: &x b\n"
     "      |    ^\n"},
    {"an anchor without a name", "a: & b\n",
     "f.yaml:1:5: error: anchors (`&`) are not allowed; put the text in quotes [anchor]\n"
     "    1 | a: & b\n"
     "      |     ^\n"},
    {"an alias to nothing", "a: *bold*\n",
     "f.yaml:1:4: error: aliases (`*`) are not allowed; put the text in quotes or write the value out "
     "[alias]\n"
     "    1 | a: *bold*\n"
     "      |    ^\n"},
    {"an alias without a name", "a: * b\n",
     "f.yaml:1:5: error: aliases (`*`) are not allowed; put the text in quotes or write the value out "
     "[alias]\n"
     "    1 | a: * b\n"
     "      |     ^\n"},
    {"a tag", "a: !!str b\n",
     "f.yaml:1:4: error: tags (`!`) are not allowed; put the text in quotes [tag]\n"
     "    1 | a: !!str b\n"
     "      |    ^\n"},
    {"a bare exclamation mark", "a: ! b\n",
     "f.yaml:1:4: error: tags (`!`) are not allowed; put the text in quotes [tag]\n"
     "    1 | a: ! b\n"
     "      |    ^\n"},
    {"a tag never ended", "a: !<x\n",
     "f.yaml:1:7: error: tags (`!`) are not allowed; put the text in quotes [tag]\n"
     "    1 | a: !<x\n"
     "      |       ^\n"},
    {"a tag on a map", "a: !t {b: c}\n",
     "f.yaml:1:4: error: tags (`!`) are not allowed; put the text in quotes [tag]\n"
     "    1 | a: !t {b: c}\n"
     "      |    ^\n"},
};

TEST_CASE("what cannot be read is refused with its place and a hint") {
  for (const Refused& refused : kRefused) {
    CAPTURE(refused.what);
    CHECK(Errors(refused.text) == refused.shown);
  }
}

TEST_CASE("the same messages come with Windows line ends and a byte-order mark") {
  for (const Refused& refused : kRefused) {
    if (refused.text.find('\r') != std::string::npos || refused.text.find('\0') != std::string::npos)
      continue;
    CAPTURE(refused.what);
    std::string text = "\xEF\xBB\xBF";
    for (const char c : refused.text) text += c == '\n' ? "\r\n" : std::string(1, c);
    CHECK(Errors(text) == refused.shown);
  }
}

TEST_CASE("texts beyond the limits are refused") {
  YamlLimits limits;
  limits.depth = 2;
  CHECK(Errors("a:\n  b: [c]\n", limits) ==
        "f.yaml:2:6: error: lists and maps are nested deeper than 2 levels [too-deep]\n"
        "    2 |   b: [c]\n"
        "      |      ^\n");
  limits = {};
  limits.nodes = 4;
  CHECK(Errors("a: b\nc: d\n", limits) ==
        "f.yaml:2:4: error: the file holds more than 4 keys and values [too-many-values]\n"
        "    2 | c: d\n"
        "      |    ^\n");
  limits = {};
  limits.scalar_bytes = 5;
  CHECK(Errors("a: 'abc def'\n", limits) ==
        "f.yaml:1:4: error: the text is 7 bytes long; at most 5 are read [long-text]\n"
        "    1 | a: 'abc def'\n"
        "      |    ^^^^^^^^^\n");
  limits = {};
  limits.line_bytes = 8;
  CHECK(Errors("a: 1\nb: 23456789\n", limits) ==
        "f.yaml:2:9: error: the line is 11 bytes long; at most 8 are read [long-line]\n"
        "    2 | b: 23456789\n"
        "      |         ^\n");
}

TEST_CASE("all errors of a text come at once, each kind of bad character once") {
  CHECK(Errors("a: 1\na: 2\nb: [x, , y]\nc: 'no\n") ==
        "f.yaml:2:1: error: the key `a` is given twice [duplicate-key]\n"
        "    2 | a: 2\n"
        "      | ^\n"
        "f.yaml:1:1: note: `a` is first given here\n"
        "f.yaml:3:8: error: an item is missing before this [empty-item]\n"
        "    3 | b: [x, , y]\n"
        "      |        ^\n"
        "f.yaml:4:4: error: this quote is never closed, or its text goes on in lines that are not indented "
        "under it "
        "[unclosed-quote]\n"
        "    4 | c: 'no\n"
        "      |    ^\n");
  CHECK(Errors("\ta: 1\n\tb: \xFF\xFF\n") ==
        "f.yaml:1:1: error: a tab cannot indent a line; use spaces [tab]\n"
        "    1 | \\ta: 1\n"
        "      | ^^\n"
        "f.yaml:2:5: error: the byte \\xff is not UTF-8; save the file as UTF-8 [not-utf8]\n"
        "    2 | \\tb: \\xff\\xff\n"
        "      |      ^^^^\n");
}

TEST_CASE("brackets nested by the thousand are refused, not followed") {
  for (const char* piece : {"[", "{", "- ", "[\n", "{a: ", "[{", "? "}) {
    std::string text;
    for (int i = 0; i < 4000; ++i) text += piece;
    CAPTURE(piece);
    CHECK_FALSE(Errors(text).empty());
  }
}

}  // namespace
}  // namespace gearwhy
