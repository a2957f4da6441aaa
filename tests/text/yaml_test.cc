// What the YAML reader makes of good texts: the tree, its places, and nothing guessed.
#include "engine/text/yaml.h"

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// The tree as text, every node and key with line:column+length.
void Describe(const YamlNode& node, std::string* out) {
  const auto at = [&](const Place& p) {
    *out += "@" + std::to_string(p.line) + ":" + std::to_string(p.column) + "+" + std::to_string(p.length);
  };
  if (node.IsEmpty()) *out += "nothing";
  if (node.IsScalar()) *out += node.quoted ? "\"" + node.text + "\"" : node.text;
  if (node.IsList()) *out += "list";
  if (node.IsMap()) *out += "map";
  at(node.place);
  for (const YamlNode& item : node.items) {
    *out += " (";
    Describe(item, out);
    *out += ")";
  }
  for (const YamlEntry& entry : node.entries) {
    *out += " (" + entry.key;
    at(entry.key_place);
    *out += " = ";
    Describe(entry.value, out);
    *out += ")";
  }
}

std::string Tree(const std::string& text) {
  Sources sources;
  Diagnostics diagnostics;
  const auto tree = ParseYaml(sources, sources.Add("f.yaml", text), diagnostics);
  if (!tree) return RenderDiagnostics(diagnostics, sources);
  std::string out;
  Describe(*tree, &out);
  return out;
}

TEST_CASE("every key and value knows its place") {
  const struct {
    const char* text;
    const char* tree;
  } cases[] = {
      {"", "nothing@1:1+1"},
      {"\n# only a comment\n", "nothing@1:1+1"},
      {"word", "word@1:1+4"},
      {"ab: cde\n", "map@1:1+2 (ab@1:1+2 = cde@1:5+3)"},
      {"  ab : cde # why\n", "map@1:3+2 (ab@1:3+2 = cde@1:8+3)"},
      {"a:\n  bc: d\n", "map@1:1+1 (a@1:1+1 = map@2:3+2 (bc@2:3+2 = d@2:7+1))"},
      {"- a\n- bc\n", "list@1:1+1 (a@1:3+1) (bc@2:3+2)"},
      {"{a: b, \"c\": [d, 'e f']}",
       "map@1:1+1 (a@1:2+1 = b@1:5+1) (c@1:8+3 = list@1:13+1 (d@1:14+1) (\"e f\"@1:17+5))"},
      {"- {a: {b: c}}\n- d: e\n  f: g\n",
       "list@1:1+1 (map@1:3+1 (a@1:4+1 = map@1:7+1 (b@1:8+1 = c@1:11+1))) "
       "(map@2:3+1 (d@2:3+1 = e@2:6+1) (f@3:3+1 = g@3:6+1))"},
      // Columns count bytes: the first key takes two, the second three.
      {"{\u00fc: a, \u4e2d: b}", "map@1:1+1 (\u00fc@1:2+2 = a@1:6+1) (\u4e2d@1:9+3 = b@1:14+1)"},
      {"\xEF\xBB\xBF"
       "a: b\r\nc: d\r\n",
       "map@1:1+1 (a@1:1+1 = b@1:4+1) (c@2:1+1 = d@2:4+1)"},
      {"---\na: b\n...\n", "map@2:1+1 (a@2:1+1 = b@2:4+1)"},
      {"a: [b,\n    c,\n   ]\n", "map@1:1+1 (a@1:1+1 = list@1:4+1 (b@1:5+1) (c@2:5+1))"},
      {"[a: b]", "list@1:1+1 (map@1:2+1 (a@1:2+1 = b@1:5+1))"},
  };
  for (const auto& c : cases) {
    CAPTURE(c.text);
    CHECK(Tree(c.text) == c.tree);
  }
}

// RFC 8259, section 7: "\ud834\udd1e" is the G clef, U+1D11E.
TEST_CASE("in JSON an escaped surrogate pair is one character, and what stands behind it keeps its place") {
  CHECK(Tree(R"({"a": "x\ud834\udd1ey", "b": c})") ==
        "map@1:1+1 (a@1:2+3 = \"x\U0001D11Ey\"@1:7+16) (b@1:25+3 = c@1:30+1)");
  CHECK(Tree("{\"a\":\n\"\\uD83D\\uDE00\\uD83D\\uDE01\", 'b': c}") ==
        "map@1:1+1 (a@1:2+3 = \"\U0001F600\U0001F601\"@2:1+26) (b@2:29+3 = c@2:34+1)");
  CHECK(Tree(R"({"\ud83d\ude00": "\ud83d\ude00", "b": c, "b": d})") ==
        "f.yaml:1:42: error: the key `b` is given twice [duplicate-key]\n"
        "    1 | {\"\\ud83d\\ude00\": \"\\ud83d\\ude00\", \"b\": c, \"b\": d}\n"
        "      |                                          ^^^\n"
        "f.yaml:1:34: note: `b` is first given here\n");
  // A backslash before it, single quotes, or no JSON: the text as it stands, or no escape of YAML.
  CHECK(Tree(R"({"a": "\\ud83d\\ude00", b: '\ud83d\ude00'})") ==
        "map@1:1+1 (a@1:2+3 = \"\\ud83d\\ude00\"@1:7+16) (b@1:25+1 = \"\\ud83d\\ude00\"@1:28+14)");
  for (const char* text :
       {R"({"a": "\ud83d"})", R"({"a": "\ud83dx"})", R"({"a": "\ude00\ud83d"})", R"(a: "\ud83d\ude00")"}) {
    CAPTURE(text);
    CHECK(Tree(text).find("[bad-escape]") != std::string::npos);
  }
}

TEST_CASE("an empty value stands behind its colon, an empty item at its dash") {
  CHECK(Tree("a:\nb: c\n") == "map@1:1+1 (a@1:1+1 = nothing@1:3+1) (b@2:1+1 = c@2:4+1)");
  CHECK(Tree("a: # later\n\nnull_key: ~\n") ==
        "map@1:1+1 (a@1:1+1 = nothing@1:3+1) (null_key@3:1+8 = nothing@3:11+1)");
  CHECK(Tree("- # a - in a comment\n-\n- null\n- x\n") ==
        "list@1:1+1 (nothing@1:1+1) (nothing@2:1+1) (nothing@3:3+4) (x@4:3+1)");
  CHECK(Tree("{a, b: , c: }") ==
        "map@1:1+1 (a@1:2+1 = nothing@1:3+1) (b@1:5+1 = nothing@1:7+1) (c@1:10+1 = nothing@1:12+1)");
}

TEST_CASE("texts are kept as written and nothing is guessed about their type") {
  CHECK(Tree("[yes, on, 017, 1e3, 0x1F, 1_000, 2026-01-02, 12:30, 'null', \"~\", .inf]") ==
        "list@1:1+1 (yes@1:2+3) (on@1:7+2) (017@1:11+3) (1e3@1:16+3) (0x1F@1:21+4) (1_000@1:27+5) "
        "(2026-01-02@1:34+10) (12:30@1:46+5) (\"null\"@1:53+6) (\"~\"@1:61+3) (.inf@1:66+4)");
}

TEST_CASE("texts over several lines are folded and underlined on their first line") {
  CHECK(Tree("a: one\n  two\nb: \"three\n  four\"\n") ==
        "map@1:1+1 (a@1:1+1 = one two@1:4+3) (b@3:1+1 = \"three four\"@3:4+6)");
  CHECK(Tree("a: |-\n  x\n  y\nb: >-\n  x\n  y\n") ==
        "map@1:1+1 (a@1:1+1 = \"x\ny\"@1:4+2) (b@4:1+1 = \"x y\"@4:4+2)");
  // The end mark given to the library adds no line to a block that keeps its trailing ones.
  CHECK(Tree("a: |+\n  x\n\n") == "map@1:1+1 (a@1:1+1 = \"x\n\n\"@1:4+2)");
  CHECK(Tree("a: |+\n  x") == "map@1:1+1 (a@1:1+1 = \"x\n\"@1:4+2)");
}

// YAML 1.2.2, section 5.7, escaped characters (from memory).
TEST_CASE("escapes are decoded") {
  CHECK(Tree(R"(["\x41\u00e4\U0001F527", "a\tb\\\"\/", 'it''s \n'])") ==
        "list@1:1+1 (\"A\u00e4\U0001F527\"@1:2+22) (\"a\tb\\\"/\"@1:26+12) (\"it's \\n\"@1:40+10)");
}

TEST_CASE("a value is found under its key") {
  Sources sources;
  Diagnostics diagnostics;
  const auto tree = ParseYaml(sources, sources.Add("f", "a: 1\nb: 2\n"), diagnostics);
  REQUIRE(tree);
  REQUIRE(tree->Find("b"));
  CHECK(tree->Find("b")->text == "2");
  CHECK(tree->Find("c") == nullptr);
}

// Loading through the library's own tree drops and duplicates things silently, so nobody may.
TEST_CASE("only the reader of this folder touches the YAML library, and never its Load") {
  namespace fs = std::filesystem;
  int files = 0;
  for (const char* folder : {"engine", "cli"}) {
    for (const auto& entry : fs::recursive_directory_iterator(fs::path(GEARWHY_SOURCE_DIR) / folder)) {
      if (entry.path().extension() != ".cc" && entry.path().extension() != ".h") continue;
      ++files;
      std::ifstream in(entry.path());
      std::stringstream text;
      text << in.rdbuf();
      CAPTURE(entry.path().string());
      CHECK(text.str().find("YAML::Load") == std::string::npos);
      if (entry.path().parent_path().filename() != "text") {
        CHECK(text.str().find("yaml-cpp/") == std::string::npos);
      }
    }
  }
  CHECK(files > 20);
}

}  // namespace
}  // namespace gearwhy
