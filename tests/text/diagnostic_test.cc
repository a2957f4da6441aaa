#include "engine/text/diagnostic.h"

#include <string>

#include "engine/text/source.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

TEST_CASE("sources give their lines without ends") {
  Sources sources;
  const int plain = sources.Add("a.yaml", "one\ntwo\r\n\nlast");
  const int marked = sources.Add("b.yaml", "\xEF\xBB\xBFone\n");
  CHECK(sources.size() == 2);
  CHECK(sources.Line(plain, 1) == "one");
  CHECK(sources.Line(plain, 2) == "two");
  CHECK(sources.Line(plain, 3).empty());
  CHECK(sources.Line(plain, 4) == "last");
  CHECK(sources.Line(plain, 5).empty());
  CHECK(sources.Line(plain, 0).empty());
  CHECK(sources.Line(plain, -1).empty());
  CHECK(sources.Line(marked, 1) == "one");
  CHECK(sources.Line(marked, 2).empty());
  CHECK(sources.Text(marked).size() == 7);
  CHECK(sources.Describe({plain, 2, 1, 1}) == "a.yaml:2");
  CHECK(sources.Describe({marked, 0, 0, 1}) == "b.yaml");
  CHECK(sources.Describe({}) == "(no file)");
}

TEST_CASE("a diagnostic shows place, code, line, caret and notes") {
  Sources sources;
  const int s = sources.Add("rules/words.yaml", "events:\n  no_drive:\n    rang: R\n");
  Diagnostics diagnostics;
  diagnostics
      .Error({s, 3, 5, 4}, "unknown-slot", "there is no slot `rang` in `no_drive`; did you mean `range`?")
      .notes.push_back({{s, 2, 3, 8}, "`no_drive` is described here"});
  CHECK(RenderDiagnostics(diagnostics, sources) ==
        "rules/words.yaml:3:5: error: there is no slot `rang` in `no_drive`; did you mean `range`? "
        "[unknown-slot]\n"
        "    3 |     rang: R\n"
        "      |     ^^^^\n"
        "rules/words.yaml:2:3: note: `no_drive` is described here\n");
}

TEST_CASE("diagnostics are sorted by place, then by arrival, and kept once") {
  Sources sources;
  const int a = sources.Add("a", "x y\nz\n");
  const int b = sources.Add("b", "x\n");
  Diagnostics diagnostics;
  CHECK_FALSE(diagnostics.HasErrors());
  diagnostics.Warning({b, 1, 1, 1}, "w", "sixth");
  CHECK_FALSE(diagnostics.HasErrors());
  diagnostics.Error({a, 2, 1, 1}, "e", "fifth");
  diagnostics.Error({a, 1, 3, 1}, "e", "third").notes.push_back({{}, "a note"});
  diagnostics.Error({a, 1, 3, 1}, "e", "fourth");
  diagnostics.Error({a, 1, 3, 1}, "e", "third").notes.push_back({{}, "a note"});
  diagnostics.Error({a, 1, 1, 1}, "e", "second");
  diagnostics.Error({}, "e", "first");
  CHECK(diagnostics.HasErrors());
  CHECK(diagnostics.error_count() == 5);
  std::string order;
  for (const Diagnostic& d : diagnostics.Sorted())
    order += d.message + "(" + std::to_string(d.notes.size()) + ") ";
  CHECK(order == "first(0) second(0) third(1) fourth(0) fifth(0) sixth(0) ");
}

TEST_CASE("what stands nowhere or speaks of a whole file has no line") {
  Sources sources;
  const int s = sources.Add("a.yaml", "x\n");
  Diagnostics diagnostics;
  diagnostics.Error({}, "unreadable-file", "cannot read `b.yaml`");
  diagnostics.Warning({s, 0, 0, 1}, "empty", "the file says nothing")
      .notes.push_back({{}, "that may be meant"});
  CHECK(RenderDiagnostics(diagnostics, sources) ==
        "error: cannot read `b.yaml` [unreadable-file]\n"
        "a.yaml: warning: the file says nothing [empty]\n"
        "note: that may be meant\n");
}

TEST_CASE("text from files cannot reach the terminal raw, nor break the line") {
  Sources sources;
  const int s = sources.Add("a\x1b\n.yaml", "\x1b[2Kx\n");
  Diagnostics diagnostics;
  diagnostics.Error({s, 1, 5, 1}, "e", "no \u202e\n").notes.push_back({{s, 1, 1, 1}, "\x07"});
  CHECK(RenderDiagnostics(diagnostics, sources) ==
        "a\\x1b\\n.yaml:1:5: error: no \\u202e\\n [e]\n"
        "    1 | \\x1b[2Kx\n"
        "      |        ^\n"
        "a\\x1b\\n.yaml:1:1: note: \\x07\n");
}

TEST_CASE("carets stand under wide, combining and escaped characters") {
  const struct {
    const char* line;
    int column;
    int length;
    const char* carets;
  } cases[] = {
      {"abc", 2, 1, " ^"},
      {"\u00fcbc", 3, 1, " ^"},
      {"\u4e2db", 4, 1, "  ^"},
      {"\u4e2db", 1, 3, "^^"},
      {"e\u0301b", 4, 1, " ^"},
      {"\tb", 2, 1, "  ^"},
      {"\xff"
       "b",
       2, 1, "    ^"},
      {"abc", 4, 1, "   ^"},
      {"abc", 2, 99, " ^^"},
      {"abc", 99, 99, "   ^"},
      {"", 1, 1, "^"},
  };
  for (const auto& c : cases) {
    CAPTURE(c.line, c.column, c.length);
    Sources sources;
    Diagnostics diagnostics;
    diagnostics.Error({sources.Add("f", c.line), 1, c.column, c.length}, "e", "m");
    const std::string shown = RenderDiagnostics(diagnostics, sources);
    const std::string last = shown.substr(shown.rfind("| ") + 2);
    CHECK(last == std::string(c.carets) + "\n");
  }
}

TEST_CASE("a long line is cut around the caret") {
  Sources sources;
  const std::string xs(150, 'x');
  const int s = sources.Add("f", xs + "HERE" + xs + "\n" + "HERE" + xs + "\n" + xs + "HERE\n");
  const auto shown = [&](const Place& place) {
    Diagnostics diagnostics;
    diagnostics.Error(place, "e", "m");
    return RenderDiagnostics(diagnostics, sources);
  };
  const auto x = [](std::size_t count) { return std::string(count, 'x'); };
  const auto spaces = [](std::size_t count) { return std::string(count, ' '); };
  CHECK(shown({s, 1, 151, 4}) == "f:1:151: error: m [e]\n    1 | ..." + x(40) + "HERE" + x(56) +
                                     "...\n      | " + spaces(43) + "^^^^\n");
  CHECK(shown({s, 2, 1, 4}) == "f:2:1: error: m [e]\n    2 | HERE" + x(96) + "...\n      | ^^^^\n");
  CHECK(shown({s, 3, 151, 4}) ==
        "f:3:151: error: m [e]\n    3 | ..." + x(96) + "HERE\n      | " + spaces(99) + "^^^^\n");
  CHECK(shown({s, 1, 1, 304}) ==
        "f:1:1: error: m [e]\n    1 | " + x(100) + "...\n      | " + std::string(100, '^') + "\n");
}

TEST_CASE("what is over the limit is counted, and warnings give way to errors") {
  Sources sources;
  const auto shown = [&](int errors, int warnings, int most) {
    Diagnostics diagnostics;
    for (int i = 0; i < warnings; ++i) diagnostics.Warning({}, "w", std::to_string(i));
    for (int i = 0; i < errors; ++i) diagnostics.Error({}, "e", std::to_string(i));
    return RenderDiagnostics(diagnostics, sources, most);
  };
  CHECK(shown(0, 0, 20).empty());
  CHECK(shown(2, 0, 2) == "error: 0 [e]\nerror: 1 [e]\n");
  CHECK(shown(3, 0, 2) == "error: 0 [e]\nerror: 1 [e]\nand 1 more error\n");
  CHECK(shown(4, 1, 2) == "error: 0 [e]\nerror: 1 [e]\nand 2 more errors and 1 more warning\n");
  CHECK(shown(1, 3, 2) == "warning: 0 [w]\nerror: 0 [e]\nand 2 more warnings\n");
  CHECK(shown(27, 0, 20).ends_with("error: 19 [e]\nand 7 more errors\n"));
}

}  // namespace
}  // namespace gearwhy
