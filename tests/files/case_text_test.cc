#include "engine/files/case_text.h"
#include "engine/text/flow_yaml.h"

#include "tests/support/book.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

constexpr const char* kBook = R"(
kinds:
  place: {values: {left: left, right: right}}
  heat: {values: {cold: cold, hot: hot}}
facts:
  towed: {says: it has towed}
  distance: {slots: {is: distance}, says: "it has run {is}"}
  pressure: {slots: {place: place, is: pressure}, says: "the pressure on the {place} is {is}"}
events:
  worn: {type: fault, says: it is worn}
  noise: {type: finding, slots: {place: place}, says: "it is loud on the {place}"}
  shake: {type: finding, slots: {place: place, heat: {kind: heat, default: hot}}, says: "it shakes {heat} on the {place}"}
  smell: {type: finding, says: it smells}
trust:
  seen: {noticed: 99%, mistaken: 1%, says: seen}
  told: {noticed: 80%, mistaken: 5%, says: told}
access:
  outside: {says: outside, minutes: 0}
  inside: {says: inside, from: outside, minutes: 10}
chances: [{id: worn-chance, fault: worn, chance: 10%}]
charts:
  - {id: smell-chart, symptom: smell, unexplained: 1%, causes: [{cause: worn, how_often: 50%}]}
  - {id: noise-chart, symptom: {noise: $p}, when: [{place: $p}], unexplained: 1%, causes: [{cause: worn, how_often: 50%}]}
  - {id: shake-chart, symptom: {shake: {place: $p, heat: $h}}, when: [{place: $p}, {heat: $h}], unexplained: 1%, causes: [{cause: worn, how_often: 50%}]}
)";

constexpr const char* kHead = "case: x\ntitle: A case\n";

CaseChange Seen(const std::string& name, std::vector<Value> slots, bool present = true,
                const std::string& trust = "seen") {
  CaseChange change;
  change.statement = {name, std::move(slots)};
  change.present = present;
  change.trust = trust;
  return change;
}

CaseChange Fact(CaseList list, const std::string& name, std::vector<Value> slots,
                std::vector<std::string> written = {}) {
  CaseChange change;
  change.list = list;
  change.statement = {name, std::move(slots)};
  change.written = std::move(written);
  return change;
}

CaseChange Open(const std::string& access) {
  CaseChange change;
  change.list = CaseList::kOpen;
  change.access = access;
  return change;
}

// The text after the change; that it loads to just the changed case is checked by the way.
std::string Changed(const std::string& text, const CaseChange& change) {
  TestBook book(kBook);
  INFO(book.Errors());
  REQUIRE(book.book);
  auto expected = book.ReadCase("x", text);
  INFO(book.Errors());
  REQUIRE(expected);
  std::string why;
  const auto changed = ChangeCaseText(text, change, book.book->words, &why);
  INFO(why);
  REQUIRE(changed);
  REQUIRE(ChangeCase(*expected, change));
  const auto loaded = book.ReadCase("x", *changed);
  INFO(*changed << book.Errors());
  REQUIRE(loaded);
  CHECK(SameCase(*loaded, *expected));
  return *changed;
}

TEST_CASE("an item goes behind the last of its list, and every other byte stays") {
  const std::string before = std::string(kHead) +
                             "# what the owner says\n"
                             "complaint:\n"
                             "  - present: smell   # since May\n"
                             "    trust: told\n"
                             "    # a remark of ours\n"
                             "\n"
                             "# our own look\n"
                             "observed:\n"
                             "    - absent: {noise: left}\n"
                             "      note: >-\n"
                             "        quiet\n"
                             "\n"
                             "        as a mouse\n"
                             "\n"
                             "# the end\n";
  std::string after = before;
  after.insert(after.find("\n# the end"), "    - present: {noise: right}\n      trust: told\n");
  CHECK(Changed(before, Seen("noise", {"right"}, true, "told")) == after);
  CaseChange complaint = Seen("noise", {"right"});
  complaint.list = CaseList::kComplaint;
  after = before;
  after.insert(after.find("\n# our own look"), "  - present: {noise: right}\n");
  CHECK(Changed(before, complaint) == after);
}

TEST_CASE("what was put in can be taken out again, to the byte") {
  const std::string texts[] = {
      kHead,
      std::string(kHead) + "observed:\n  - present: smell\n",
      std::string(kHead) + "observed:\n- present: smell\nunknown:\n- {noise: left}\n# the end\n",
      std::string(kHead) + "history:\n  - towed\n\nexpect: []\n",
      std::string("\xEF\xBB\xBF") + "case: x\r\ntitle: A case\r\nobserved:\r\n  - present: smell\r\n",
  };
  const CaseChange changes[] = {
      Seen("noise", {"right"}, false),
      Seen("shake", {"left", "hot"}),
      Seen("shake", {"left", "cold"}, true, "told"),
      Fact(CaseList::kHistory, "distance", {180000.0}, {"180000 km"}),
      Fact(CaseList::kMeasured, "pressure", {"left", 2.0}),
      Fact(CaseList::kUnknown, "noise", {"right"}),
      Open("inside"),
  };
  for (const std::string& text : texts) {
    for (const CaseChange& change : changes) {
      const std::string changed = Changed(text, change);
      CHECK(changed != text);
      CHECK(Changed(changed, Reversed(change)) == text);
    }
  }
}

TEST_CASE("a missing list is put where it usually stands") {
  const std::string text = std::string(kHead) + "history:\n  - towed\n\n# known later\nfound:\n  - worn\n";
  CHECK(Changed(text, Seen("smell", {})) ==
        std::string(kHead) +
            "history:\n  - towed\nobserved:\n  - present: smell\n\n# known later\nfound:\n  - worn\n");
  CHECK(Changed(text, Open("inside")) ==
        std::string(kHead) + "history:\n  - towed\nopen: [inside]\n\n# known later\nfound:\n  - worn\n");
}

TEST_CASE("a list in brackets becomes lines; `open` stays in brackets") {
  CHECK(Changed(std::string(kHead) + "history: [towed]  # as told\n",
                Fact(CaseList::kHistory, "distance", {1.0}, {"1 km"})) ==
        std::string(kHead) + "history:  # as told\n  - towed\n  - distance: 1 km\n");
  CHECK(Changed(std::string(kHead) + "observed: [{present: {noise: left}, note: 'loud, and how'},\n  "
                                     "{absent: smell}]\nunknown: []\n",
                Seen("noise", {"right"})) == std::string(kHead) +
                                                 "observed:\n  - present: {noise: left}\n    note: \"loud, "
                                                 "and how\"\n  - absent: smell\n  - present: {noise: right}\n"
                                                 "unknown: []\n");
  CHECK(Changed(std::string(kHead) + "unknown: []\n", Fact(CaseList::kUnknown, "smell", {})) ==
        std::string(kHead) + "unknown:\n  - smell\n");
  CHECK(Changed(std::string(kHead) + "observed:\n", Seen("smell", {})) ==
        std::string(kHead) + "observed:\n  - present: smell\n");
  CHECK(Changed(std::string(kHead) + "open: [outside]\n", Open("inside")) ==
        std::string(kHead) + "open: [outside, inside]\n");
  CHECK(Changed(std::string(kHead) + "open: outside\n", Open("inside")) ==
        std::string(kHead) + "open: [outside, inside]\n");
  CHECK(Changed(std::string(kHead) + "open:\n  - outside\n", Open("inside")) ==
        std::string(kHead) + "open:\n  - outside\n  - inside\n");
}

TEST_CASE("an item is taken out with its lines and no others") {
  const std::string text = std::string(kHead) +
                           "observed:\n"
                           "  - present: {noise: left}   # first\n"
                           "  # about the second\n"
                           "  - present: {noise: right}\n"
                           "    trust: told\n"
                           "  - absent: smell\n";
  CaseChange change = Seen("noise", {"right"}, true, "told");
  change.kind = CaseChange::Kind::kRemove;
  CHECK(Changed(text, change) == std::string(kHead) +
                                     "observed:\n"
                                     "  - present: {noise: left}   # first\n"
                                     "  # about the second\n"
                                     "  - absent: smell\n");
  std::string why;
  TestBook book(kBook);
  change.trust = "seen";
  CHECK_FALSE(ChangeCaseText(text, change, book.book->words, &why));
  CHECK(why == "`observed` does not say so");
}

TEST_CASE("a file in braces is refused, and a name changed on its line") {
  TestBook book(kBook);
  std::string why;
  CHECK_FALSE(ChangeCaseText("{case: x, title: A case}\n", Seen("smell", {}), book.book->words, &why));
  CHECK(why == "the file is not written one key a line, so lines cannot be put into it");
  CHECK(RenamedCaseText("# c\ncase: x  # here\ntitle: A case\n", "y-2", book.book->words) ==
        "# c\ncase: y-2  # here\ntitle: A case\n");
  CHECK(RenamedCaseText("case: 'x' # here\ntitle: A case\n", "y-2", book.book->words) ==
        "case: y-2 # here\ntitle: A case\n");
}

TEST_CASE("a case says a change already, says the contrary, or is open to it") {
  TestBook book(kBook);
  const auto c =
      book.ReadCase("x", std::string(kHead) +
                             "history:\n  - distance: 9 km\nobserved:\n  - present: smell\n  - absent: "
                             "{noise: left}\n    trust: told\nunknown: [{noise: right}]\nopen: [inside]\n");
  INFO(book.Errors());
  REQUIRE(c);
  const auto of = [&](CaseChange change, bool remove = false) {
    return StandpointOf(*c, remove ? Reversed(change) : change);
  };
  CHECK(of(Seen("smell", {})) == Standpoint::kSaysSo);
  CHECK(of(Seen("smell", {}), true) == Standpoint::kOpen);  // it can be taken out
  CHECK(of(Seen("smell", {}, false)) == Standpoint::kContrary);
  CHECK(of(Seen("smell", {}, false), true) == Standpoint::kSaysSo);  // it is not there any more
  CHECK(of(Seen("smell", {}, false, "told")) == Standpoint::kOpen);  // a look by other means
  CHECK(of(Seen("noise", {"left"}, true, "told")) == Standpoint::kContrary);
  CHECK(of(Seen("noise", {"right"})) == Standpoint::kOpen);
  CHECK(of(Fact(CaseList::kHistory, "distance", {9.0})) == Standpoint::kSaysSo);
  CHECK(of(Fact(CaseList::kHistory, "distance", {8.0})) == Standpoint::kOpen);  // loading tells
  CHECK(of(Fact(CaseList::kUnknown, "noise", {"right"})) == Standpoint::kSaysSo);
  CHECK(of(Open("inside")) == Standpoint::kSaysSo);
  CHECK(of(Open("outside")) == Standpoint::kOpen);
}

TEST_CASE("free text is quoted, and what a file may not hold is left out") {
  CHECK(QuotedYaml("no \"reverse\": # \\ at all") == "\"no \\\"reverse\\\": # \\\\ at all\"");
  CHECK(QuotedYaml("two\nlines\ttab") == "\"two\\nlines\\ttab\"");
  CHECK(QuotedYaml("a\x1b[31mb\xE2\x80\xAE\xFF") == "\"a[31mb\"");
  TestBook book(kBook);
  const auto c = book.ReadCase("x", NewCaseText("x", "It says: \"no\" - {at all} # ever", "", ""));
  INFO(book.Errors());
  REQUIRE(c);
  CHECK(c->title == "It says: \"no\" - {at all} # ever");
}

TEST_CASE("statements are written as short as they read back") {
  TestBook book(kBook);
  const Words& words = book.book->words;
  CHECK(StatementYaml({"smell", {}}, words) == "smell");
  CHECK(StatementYaml({"noise", {"left"}}, words) == "noise: left");
  CHECK(StatementYaml({"shake", {"left", "hot"}}, words) == "shake: {place: left}");
  CHECK(StatementYaml({"shake", {"left", "cold"}}, words) == "shake: {place: left, heat: cold}");
  CHECK(StatementYaml({"pressure", {"left", 8.9631844811188}}, words, {"", "130 psi"}) ==
        "pressure: {place: left, is: 130 psi}");
  CHECK(StatementYaml({"pressure", {"left", 9.0}}, words) == "pressure: {place: left, is: 9 bar}");
}

}  // namespace
}  // namespace gearwhy
