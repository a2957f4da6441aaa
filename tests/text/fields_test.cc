#include "engine/text/fields.h"

#include <functional>
#include <string>
#include <vector>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

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

TEST_CASE("fields of every kind are read") {
  const std::string text =
      "name: slips-2.x\nsays: 'It slips, 1st'\nshare: 0.5\nfast: true\nlist: [a, b]\nmap: {k: v}\nsingle: "
      "one\n"
      "gone:\n";
  CHECK(Errors(text, [](Fields& fields) {
          CHECK(fields.IsMap());
          CHECK(fields.RequiredName("name") == "slips-2.x");
          CHECK(fields.OptionalName("name") == "slips-2.x");
          CHECK(fields.RequiredText("says") == "It slips, 1st");
          CHECK(fields.OptionalText("says") == "It slips, 1st");
          CHECK(fields.OptionalNumber("share", 1) == 0.5);
          CHECK(fields.OptionalBool("fast", false));
          CHECK(fields.RequiredList("list").size() == 2);
          CHECK(fields.OptionalList("list").size() == 2);
          CHECK(fields.RequiredMap("map").size() == 1);
          CHECK(fields.OptionalMap("map").size() == 1);
          CHECK(fields.OptionalNames("list") == std::vector<std::string>{"a", "b"});
          CHECK(fields.OptionalNames("single") == std::vector<std::string>{"one"});
          REQUIRE(fields.Required("single"));
          CHECK(fields.Required("single")->text == "one");
          CHECK(fields.PlaceOf("share") == Place{0, 3, 8, 3});
          CHECK(fields.PlaceOf("absent") == Place{0, 1, 1, 4});
          CHECK(fields.Optional("gone") == nullptr);
        }).empty());
}

TEST_CASE("what is absent is given its default, and is no error") {
  CHECK(Errors("{}", [](Fields& fields) {
          CHECK(fields.Optional("x") == nullptr);
          CHECK(fields.OptionalText("x", "d") == "d");
          CHECK(fields.OptionalName("x").empty());
          CHECK(fields.OptionalNumber("x", 2.5) == 2.5);
          CHECK(fields.OptionalBool("x", true));
          CHECK(fields.OptionalList("x").empty());
          CHECK(fields.OptionalMap("x").empty());
          CHECK(fields.OptionalNames("x").empty());
        }).empty());
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
         f.Required("x");
         f.RequiredList("x");
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
         f.Optional("when");
         f.Required("then");
       },
       "f.yaml:1:1: error: a rule lacks the key `then` [missing-key]\n"
       "    1 | when: x\n"
       "      | ^^^^\n"},
      {"when:\n", [](Fields& f) { f.Required("when"); },
       "f.yaml:1:6: error: a rule has an empty `when` [missing-key]\n"
       "    1 | when:\n"
       "      |      ^\n"},
      {"says: ''\n", [](Fields& f) { f.RequiredText("says"); },
       "f.yaml:1:7: error: a rule has an empty `says` [missing-key]\n"
       "    1 | says: ''\n"
       "      |       ^^\n"},
      {"wehn: x\n",
       [](Fields& f) {
         f.Optional("when");
         f.Optional("then");
       },
       "f.yaml:1:1: error: a rule has no key `wehn`; did you mean `when`? [unknown-key]\n"
       "    1 | wehn: x\n"
       "      | ^^^^\n"},
      {"colour: x\n",
       [](Fields& f) {
         f.Optional("when");
         f.Optional("then");
         f.Optional("when");
       },
       "f.yaml:1:1: error: a rule has no key `colour`; known are `when`, `then` [unknown-key]\n"
       "    1 | colour: x\n"
       "      | ^^^^^^\n"},
      {"says: [x]\n", [](Fields& f) { CHECK(f.OptionalText("says", "d") == "d"); },
       "f.yaml:1:7: error: `says` should be a single value, not a list [not-text]\n"
       "    1 | says: [x]\n"
       "      |       ^\n"},
      {"name: no drive\n", [](Fields& f) { CHECK(f.RequiredName("name").empty()); },
       "f.yaml:1:7: error: `name` should be a name, not `no drive`; a name starts with a letter or digit and "
       "holds "
       "only letters, digits, `_`, `-` and `.` [not-a-name]\n"
       "    1 | name: no drive\n"
       "      |       ^^^^^^^^\n"},
      {"n: 1,5\n", [](Fields& f) { CHECK(f.OptionalNumber("n", 3) == 3); },
       "f.yaml:1:4: error: `n` should be a number: `1,5` is not a number; use 1.5 [not-a-number]\n"
       "    1 | n: 1,5\n"
       "      |    ^^^\n"},
      {"n: '5'\n", [](Fields& f) { CHECK(f.OptionalNumber("n", 3) == 3); },
       "f.yaml:1:4: error: `n` should be a number: `5` is text because it stands in quotes; take the quotes "
       "away "
       "[not-a-number]\n"
       "    1 | n: '5'\n"
       "      |    ^^^\n"},
      {"b: yes\n", [](Fields& f) { CHECK(f.OptionalBool("b", true)); },
       "f.yaml:1:4: error: `b` should be true or false, not `yes` [not-a-bool]\n"
       "    1 | b: yes\n"
       "      |    ^^^\n"},
      {"b: 'true'\n", [](Fields& f) { CHECK_FALSE(f.OptionalBool("b", false)); },
       "f.yaml:1:4: error: `b` should be true or false, not `true` in quotes [not-a-bool]\n"
       "    1 | b: 'true'\n"
       "      |    ^^^^^^\n"},
      {"l: x\n", [](Fields& f) { CHECK(f.OptionalList("l").empty()); },
       "f.yaml:1:4: error: `l` should be a list, not a single value [not-a-list]\n"
       "    1 | l: x\n"
       "      |    ^\n"},
      {"m: [x]\n", [](Fields& f) { CHECK(f.RequiredMap("m").empty()); },
       "f.yaml:1:4: error: `m` should be a map of keys and values, not a list [not-a-map]\n"
       "    1 | m: [x]\n"
       "      |    ^\n"},
      {"l: {a: b}\n", [](Fields& f) { CHECK(f.OptionalNames("l").empty()); },
       "f.yaml:1:4: error: `l` should be a name or a list of names, not a map [not-a-list]\n"
       "    1 | l: {a: b}\n"
       "      |    ^\n"},
      {"l: [a, [b], c]\n",
       [](Fields& f) {
         CHECK(f.OptionalNames("l") == std::vector<std::string>{"a", "c"});
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
