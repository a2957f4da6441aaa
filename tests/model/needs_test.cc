// What a finding takes for granted, and reports of one source that cannot both be.
#include "engine/model/needs.h"

#include "tests/support/book.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

constexpr const char* kBook = R"(
kinds:
  room: {values: {hall: hall, attic: attic}}
trust:
  seen: {noticed: 99%, mistaken: 1%}
  told: {noticed: 85%, mistaken: 5%}
circumstances:
  day: {says: by day, opposite: night}
  night: {says: by night, opposite: day, shown_by: worse_by_night, missed: 80%, missed_unasked: 10%}
events:
  wire_broken: {type: fault, slots: {room: room}, says: the wire is broken}
  dark: {type: finding, slots: {room: room}, says: it is dark}
  flickers: {type: finding, slots: {room: room}, needs: [{absent: {dark: $room}}], says: it flickers}
  flickers_red: {type: finding, slots: {room: room}, needs: [{present: {flickers: $room}}], says: it flickers red}
  bad: {type: finding, slots: {room: room}, says: something is wrong}
  worse_by_night: {type: finding, slots: {room: room}, needs: [{present: {bad: $room}}], says: it is worse by night}
chances:
  - {id: wire, fault: {wire_broken: $r}, when: [{room: $r}], chance: 1%}
charts:
  - id: dark
    symptom: {dark: $r}
    when: [{room: $r}]
    unexplained: 1%
    causes: [{cause: {wire_broken: $r}, how_often: 90%}]
  - id: flickers
    symptom: {flickers: $r}
    when: [{room: $r}]
    unexplained: 1%
    causes: [{cause: {wire_broken: $r}, how_often: 30%}]
  - id: bad
    symptom: {bad: $r}
    when: [{room: $r}]
    unexplained: 0%
    causes: [{cause: {dark: $r}, how_often: 100%}, {cause: {flickers: $r}, how_often: 100%}]
  - id: others
    symptom: {flickers_red: $r}
    when: [{room: $r}]
    unexplained: 1%
    causes: [{cause: {wire_broken: $r}, how_often: 10%}]
  - id: night
    symptom: {worse_by_night: $r}
    when: [{room: $r}]
    unexplained: 1%
    causes: [{cause: {wire_broken: $r}, how_often: 10%}]
)";

std::string ErrorsOf(const std::string& reports) {
  TestBook book(kBook);
  INFO(book.Errors());
  REQUIRE(book.book);
  book.ReadCase("x", "case: x\ntitle: x\nobserved:\n" + reports);
  return book.Errors();
}

std::vector<std::string> Said(const std::vector<Implied>& all) {
  std::vector<std::string> said;
  for (const Implied& one : all) said.push_back((one.present ? "" : "not ") + StatementId(one.finding));
  return said;
}

TEST_CASE(
    "a present finding takes for granted what it needs, what is always so with it, and what those need") {
  TestBook book(kBook);
  INFO(book.Errors());
  REQUIRE(book.book);
  CHECK(Said(ImpliedBy(*book.book, {"flickers_red", {"hall"}})) ==
        std::vector<std::string>{"flickers_red:hall", "flickers:hall", "not dark:hall", "bad:hall"});
  CHECK(Said(ImpliedBy(*book.book, {"dark", {"attic"}})) ==
        std::vector<std::string>{"dark:attic", "bad:attic"});
}

TEST_CASE("one source that says what cannot both be is told so, at both places") {
  CHECK(ErrorsOf("  - present: {dark: hall}\n  - present: {flickers: hall}\n") ==
        "x.yaml:5:5: error: `dark:hall` cannot be present where `flickers:hall` is present; the same source "
        "says "
        "both. Leave one out, or name with `under:` when each was so [contradiction]\n"
        "    5 |   - present: {flickers: hall}\n"
        "      |     ^^^^^^^\n"
        "x.yaml:4:5: note: it says so here\n");
  CHECK_THAT(ErrorsOf("  - absent: {bad: hall}\n  - present: {flickers: hall}\n"),
             ContainsSubstring("`bad:hall` cannot be absent"));
  CHECK_THAT(ErrorsOf("  - absent: {bad: hall}\n  - present: {worse_by_night: hall}\n"),
             ContainsSubstring("`bad:hall` cannot be absent"));
}

TEST_CASE("different sources, rooms and circumstances may differ") {
  CHECK(ErrorsOf("  - present: {dark: hall}\n  - {present: {flickers: hall}, trust: told}\n").empty());
  CHECK(ErrorsOf("  - present: {dark: hall}\n  - present: {flickers: attic}\n").empty());
  CHECK(ErrorsOf("  - {present: {dark: hall}, under: [night]}\n  - {present: {flickers: hall}, under: day}\n")
            .empty());
  CHECK(ErrorsOf("  - present: {dark: hall}\n  - absent: {flickers: hall}\n").empty());
}

TEST_CASE("a circumstance that is not described, and two opposites at once, are refused") {
  CHECK_THAT(ErrorsOf("  - {present: {dark: hall}, under: [nigth]}\n"),
             ContainsSubstring("there is no circumstance called `nigth`; did you mean `night`?"));
  CHECK_THAT(ErrorsOf("  - {present: {dark: hall}, under: [night, day]}\n"),
             ContainsSubstring("one look is not made both `day` and `night`"));
}

std::string WordErrors(const std::string& events) {
  return TestBook("kinds:\n  room: {values: {hall: hall}}\nevents:\n" + events).Errors();
}

TEST_CASE("what a finding needs is a finding over its own slots, and never itself") {
  CHECK_THAT(WordErrors("  a: {type: finding, slots: {room: room}, needs: [{present: {b: $hall}}], says: a}\n"
                        "  b: {type: finding, slots: {room: room}, says: b}\n"),
             ContainsSubstring("book.yaml:4:51: error: `a` has no slot `hall`"));
  CHECK_THAT(WordErrors("  a: {type: finding, needs: [b], says: a}\n  b: {type: finding, says: b}\n"),
             ContainsSubstring("what a finding needs is `present:` or `absent:` another finding"));
  CHECK_THAT(WordErrors("  a: {type: finding, needs: [{absent: b}], says: a}\n  b: {type: state, says: b}\n"),
             ContainsSubstring("`b` is a state; a finding needs findings only"));
  CHECK_THAT(WordErrors("  a: {type: finding, needs: [{absent: b}], says: a}\n"
                        "  b: {type: finding, needs: [{present: a}], says: b}\n"),
             ContainsSubstring("what `a` needs goes round in a circle, back to itself"));
  CHECK_THAT(WordErrors("  a: {type: state, needs: [{absent: b}], says: a}\n  b: {type: finding, says: b}\n"),
             ContainsSubstring("`needs`"));
}

TEST_CASE("a circumstance needs an opposite that names it") {
  CHECK_THAT(TestBook("circumstances:\n  hot: {says: hot, opposite: cold}\n").Errors(),
             ContainsSubstring("`hot` needs an opposite that names it as its own"));
}

}  // namespace
}  // namespace gearwhy
