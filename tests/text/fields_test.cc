#include "engine/text/fields.h"

#include <functional>
#include <string>
#include <vector>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

using enum Presence;

// What reading the fields of `text` reports.
std::string Errors(const std::string& text, const std::function<void(Fields&)>& read) {
  Sources sources;
  Diagnostics diagnostics;
  const auto tree = ParseYaml(sources, sources.Add("f.yaml", text), diagnostics);
  REQUIRE(tree);
  Fields fields(*tree, "a rule", diagnostics);
  read(fields);
  fields.Done();
  return RenderDiagnostics(diagnostics, sources);
}

// What is there before anything is read.
struct Read {
  std::string text = "d", name = "e";
  double number = 2.5;
  bool truth = true;
  std::vector<std::string> names;
};

TEST_CASE("fields of every kind are read") {
  const std::string text =
      "name: slips-2.x\nsays: 'It slips, 1st'\nshare: 0.5\nfast: false\nlist: [a, b]\nmap: {k: v}\nsingle: "
      "one\n"
      "gone:\n";
  CHECK(Errors(text, [](Fields& fields) {
          Read read;
          CHECK(fields.IsMap());
          fields.Name("name", kNeeded, read.name, "");
          CHECK(read.name == "slips-2.x");
          fields.Text("says", kNeeded, read.text, "");
          CHECK(read.text == "It slips, 1st");
          fields.Number("share", kOptional, read.number, "");
          CHECK(read.number == 0.5);
          fields.Truth("fast", read.truth, "");
          CHECK_FALSE(read.truth);
          CHECK(fields.List("list", kNeeded, "text", "").size() == 2);
          CHECK(fields.Map("map", kNeeded, "text", "").size() == 1);
          fields.Names("list", read.names, "");
          fields.Names("single", read.names, "");
          CHECK(read.names == std::vector<std::string>{"a", "b", "one"});
          CHECK(fields.Value("single", kNeeded, "text", "")->text == "one");
          CHECK(fields.PlaceOf("share") == Place{0, 3, 8, 3});
          CHECK(fields.PlaceOf("absent") == Place{0, 1, 1, 4});
          CHECK(fields.Value("gone", kOptional, "text", "") == nullptr);
          CHECK(fields.Has("single"));
          CHECK_FALSE(fields.Has("gone"));
        }).empty());
}

TEST_CASE("what is absent leaves everything as it was, and is no error") {
  CHECK(Errors("{}", [](Fields& fields) {
          Read read;
          CHECK(fields.Value("x", kOptional, "text", "") == nullptr);
          fields.Text("x", kOptional, read.text, "");
          fields.Name("x", kOptional, read.name, "");
          fields.Number("x", kOptional, read.number, "");
          fields.Truth("x", read.truth, "");
          fields.Names("x", read.names, "");
          CHECK(read.text == "d");
          CHECK(read.name == "e");
          CHECK(read.number == 2.5);
          CHECK(read.truth);
          CHECK(read.names.empty());
          CHECK(fields.List("x", kOptional, "text", "").empty());
          CHECK(fields.Map("x", kOptional, "text", "").empty());
          CHECK(fields.Entries("x", kOptional, "line", "").empty());
          CHECK(fields.Named("x", kOptional, "line", "").empty());
        }).empty());
}

std::string_view SpeedName(int speed) { return speed == 0 ? "slow" : "fast"; }

TEST_CASE("entries and choices are called by their kinds and keys") {
  CHECK(Errors("lines: [{a: 1}, x]\nunits: {E.p: {}}\nspeed: slwo\n",
               [](Fields& fields) {
                 int speed = 1;
                 for (Fields& line : fields.Entries("lines", kOptional, "line", "")) line.Done();
                 for (auto& [entry, unit] : fields.Named("units", kOptional, "unit", "", "the."))
                   unit.Value("says", kNeeded, "text", "");
                 CHECK_FALSE(fields.OneOf("speed", kNeeded, {0, 1}, SpeedName, speed, "", "; or walk"));
                 CHECK(speed == 1);
               }) ==
        "f.yaml:1:10: error: a line has no key `a` [unknown-key]\n"
        "    1 | lines: [{a: 1}, x]\n"
        "      |          ^\n"
        "f.yaml:1:17: error: a line should be a map of keys and values, not a single value [not-a-map]\n"
        "    1 | lines: [{a: 1}, x]\n"
        "      |                 ^\n"
        "f.yaml:2:14: error: the unit `the.E.p` lacks the key `says` [missing-key]\n"
        "    2 | units: {E.p: {}}\n"
        "      |              ^\n"
        "f.yaml:3:8: error: `speed` cannot be `slwo`; did you mean `slow`?; or walk [unknown-choice]\n"
        "    3 | speed: slwo\n"
        "      |        ^^^^\n");
}

TEST_CASE("over nothing, what a loader asks for is described") {
  const FileShape file = DescribeFields("book", [](Fields fields, Diagnostics&) {
    std::string title;
    int speed = 1;
    bool safe = false;
    fields.Text("title", kNeeded, title, "What it is called.");
    for (Fields& line : fields.Entries("lines", kOptional, "line", "Its lines.")) {
      CHECK(line.OneOf("speed", kNeeded, {0, 1}, SpeedName, speed, "How fast."));
      line.Where("speed", {"fast"}, false, [&] { line.Truth("safe", safe, "Whether that is safe."); });
      CHECK_FALSE(line.ExactlyOne({"speed", "safe"}));
      line.Done();
    }
    fields.Done();
  });
  REQUIRE(file.size() == 2);
  CHECK(file[0].kind == "book");
  REQUIRE(file[0].fields.size() == 2);
  CHECK(std::string(file[0].fields[0].takes) == "text");
  CHECK(file[0].fields[0].presence == kNeeded);
  CHECK(std::string(file[0].fields[1].takes) == "line");
  CHECK(file[0].fields[1].form == FieldShape::Form::kList);
  CHECK(file[1].kind == "line");
  CHECK(file[1].one_of.size() == 2);
  REQUIRE(file[1].fields.size() == 2);
  CHECK(file[1].fields[0].choices == std::vector<std::string_view>{"slow", "fast"});
  CHECK(std::string(file[1].fields[1].key) == "safe");
  CHECK(std::string(file[1].fields[1].only_key) == "speed");
  CHECK(std::string(file[1].fields[1].help) == "Whether that is safe.");
}

TEST_CASE("every slip is reported with its place") {
  const struct {
    const char* text;
    std::function<void(Fields&)> read;
    const char* shown;
  } cases[] = {
      {"[a]",
       [](Fields& f) {
         CHECK_FALSE(f.IsMap());
         f.Value("x", kNeeded, "text", "");
         f.List("x", kNeeded, "text", "");
       },
       "f.yaml:1:1: error: a rule should be a map of keys and values, not a list [not-a-map]\n"
       "    1 | [a]\n"
       "      | ^\n"},
      {"a:1\n", [](Fields&) {},
       "f.yaml:1:1: error: a rule should be a map of keys and values, not a single value; is the space "
       "behind a colon "
       "missing? [not-a-map]\n"
       "    1 | a:1\n"
       "      | ^^^\n"},
      {"", [](Fields&) {},
       "f.yaml:1:1: error: a rule should be a map of keys and values, not nothing [not-a-map]\n"
       "    1 | \n"
       "      | ^\n"},
      {"when: x\n",
       [](Fields& f) {
         f.Value("when", kOptional, "text", "");
         f.Value("then", kNeeded, "text", "");
       },
       "f.yaml:1:1: error: a rule lacks the key `then` [missing-key]\n"
       "    1 | when: x\n"
       "      | ^^^^\n"},
      {"when:\n", [](Fields& f) { f.Value("when", kNeeded, "text", ""); },
       "f.yaml:1:6: error: a rule has an empty `when` [missing-key]\n"
       "    1 | when:\n"
       "      |      ^\n"},
      {"says: ''\n",
       [](Fields& f) {
         Read r;
         f.Text("says", kNeeded, r.text, "");
         CHECK(r.text.empty());
       },
       "f.yaml:1:7: error: a rule has an empty `says` [missing-key]\n"
       "    1 | says: ''\n"
       "      |       ^^\n"},
      {"wehn: x\n",
       [](Fields& f) {
         f.Value("when", kOptional, "text", "");
         f.Value("then", kOptional, "text", "");
       },
       "f.yaml:1:1: error: a rule has no key `wehn`; did you mean `when`? [unknown-key]\n"
       "    1 | wehn: x\n"
       "      | ^^^^\n"},
      {"colour: x\n",
       [](Fields& f) {
         f.Value("when", kOptional, "text", "");
         f.Value("then", kOptional, "text", "");
       },
       "f.yaml:1:1: error: a rule has no key `colour`; known are `when`, `then` [unknown-key]\n"
       "    1 | colour: x\n"
       "      | ^^^^^^\n"},
      {"says: [x]\n",
       [](Fields& f) {
         Read r;
         f.Text("says", kOptional, r.text, "");
         CHECK(r.text == "d");
       },
       "f.yaml:1:7: error: `says` should be a single value, not a list [not-text]\n"
       "    1 | says: [x]\n"
       "      |       ^\n"},
      {"name: no drive\n",
       [](Fields& f) {
         Read r;
         f.Name("name", kNeeded, r.name, "");
         CHECK(r.name == "e");
       },
       "f.yaml:1:7: error: `name` should be a name, not `no drive`; a name starts with a letter or digit and "
       "holds "
       "only letters, digits, `_`, `-` and `.` [not-a-name]\n"
       "    1 | name: no drive\n"
       "      |       ^^^^^^^^\n"},
      {"n: 1,5\n",
       [](Fields& f) {
         Read r;
         f.Number("n", kOptional, r.number, "");
         CHECK(r.number == 2.5);
       },
       "f.yaml:1:4: error: `n` should be a number: `1,5` is not a number; use 1.5 [not-a-number]\n"
       "    1 | n: 1,5\n"
       "      |    ^^^\n"},
      {"n: '5'\n",
       [](Fields& f) {
         Read r;
         f.Number("n", kOptional, r.number, "");
         CHECK(r.number == 2.5);
       },
       "f.yaml:1:4: error: `n` should be a number: `5` is text because it stands in quotes; take the quotes "
       "away "
       "[not-a-number]\n"
       "    1 | n: '5'\n"
       "      |    ^^^\n"},
      {"b: yes\n",
       [](Fields& f) {
         Read r;
         f.Truth("b", r.truth, "");
         CHECK(r.truth);
       },
       "f.yaml:1:4: error: `b` should be true or false, not `yes` [not-a-bool]\n"
       "    1 | b: yes\n"
       "      |    ^^^\n"},
      {"b: 'true'\n",
       [](Fields& f) {
         Read r;
         r.truth = false;
         f.Truth("b", r.truth, "");
         CHECK_FALSE(r.truth);
       },
       "f.yaml:1:4: error: `b` should be true or false, not `true` in quotes [not-a-bool]\n"
       "    1 | b: 'true'\n"
       "      |    ^^^^^^\n"},
      {"l: x\n", [](Fields& f) { CHECK(f.List("l", kOptional, "text", "").empty()); },
       "f.yaml:1:4: error: `l` should be a list, not a single value [not-a-list]\n"
       "    1 | l: x\n"
       "      |    ^\n"},
      {"m: [x]\n", [](Fields& f) { CHECK(f.Map("m", kNeeded, "text", "").empty()); },
       "f.yaml:1:4: error: `m` should be a map of keys and values, not a list [not-a-map]\n"
       "    1 | m: [x]\n"
       "      |    ^\n"},
      {"l: {a: b}\n",
       [](Fields& f) {
         Read r;
         f.Names("l", r.names, "");
         CHECK(r.names.empty());
       },
       "f.yaml:1:4: error: `l` should be a name or a list of names, not a map [not-a-list]\n"
       "    1 | l: {a: b}\n"
       "      |    ^\n"},
      {"l: [a, [b], c]\n",
       [](Fields& f) {
         Read r;
         f.Names("l", r.names, "");
         CHECK(r.names == std::vector<std::string>{"a", "c"});
       },
       "f.yaml:1:8: error: an item of `l` should be a single value, not a list [not-text]\n"
       "    1 | l: [a, [b], c]\n"
       "      |        ^\n"},
  };
  for (const auto& c : cases) {
    CAPTURE(c.text);
    CHECK(Errors(c.text, c.read) == c.shown);
  }
}

TEST_CASE("names are made of letters, digits and a few marks") {
  for (const char* name : {"a", "R", "D3", "no_drive", "4-6.clutch", "2"}) CHECK(IsName(name));
  for (const char* name : {"", "_a", "-", ".a", "a b", "$x", "a:b", "caf\u00e9", "a/b", "a\n"})
    CHECK_FALSE(IsName(name));
}

}  // namespace
}  // namespace gearwhy
