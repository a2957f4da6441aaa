// What is allowed in a rulebook and yet most likely a slip: each lint with a book that has it, and one that
// has not.
#include "engine/study/lint.h"

#include "engine/chain/chain.h"
#include "engine/files/load_unit.h"
#include "tests/support/book.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

const std::string kBook = R"(
kinds:
  element: {from: unit}
  part_kind: {from: unit}
facts:
  element_type: {slots: {element: element}, says: "{element} is there"}
  towed: {says: it towed, history: true}
  ran_far: {says: it ran far}
events:
  worn: {type: fault, slots: {element: element}, says: "{element} is worn"}
  slips: {type: finding, slots: {element: element}, says: "{element} slips", ask: [slips]}
  noise: {type: finding, says: it is loud, ask: [loud]}
access: {in_car: {says: in the car}}
trust: {seen: {noticed: 98%, mistaken: 2%}}
chances:
  - {id: wears, fault: {worn: $e}, when: [{element: $e}], chance: 2%, because: it rubs}
charts:
  - id: slip
    symptom: {slips: $e}
    when: [{element: $e}]
    unexplained: 0.1%
    causes: [{cause: {worn: $e}, how_often: usually, because: it does not grip}]
  - {id: loud, symptom: noise, when: [{element: $e}], unexplained: 0.1%, causes: [{cause: {worn: $e}, how_often: seldom, because: it rattles}]}
how_often: {usually: 80%, seldom: 6%}
checks:
  - {id: look, says: a look, tells: [noise], minutes: 5, access: in_car, how: Look.}
)";

// All that the lints say of the book with these lines added, without places.
std::string Told(const std::string& more) {
  TestBook book(kBook + more);
  INFO(book.Errors());
  REQUIRE(book.book);
  LintSurvey lint(*book.book);
  Diagnostics diagnostics;
  lint.Report(diagnostics);
  std::string text;
  for (const Diagnostic& one : diagnostics.Sorted())
    text += (one.severity == Severity::kError ? "error: " : "") + one.message + " [" + one.code + "]\n";
  return text;
}

TEST_CASE("a book without slips is told nothing") { CHECK(Told("") == ""); }

TEST_CASE("each slip is told by the name of its lint") {
  struct Slip {
    std::string more, told;
  };
  const std::vector<Slip> slips = {
      {"rules:\n  - {id: far, when: [towed], then: [ran_far], because: it does}\n",
       "nothing asks for what the rule `far` concludes, `ran_far` [unused-rule]\n"},
      {"rules:\n  - {id: far, when: [towed], then: [{present: noise}]}\n",
       "the rule `far` gives no `because` [no-because]\n"},
      {"looks: []\nsayings: []\nfinal_tests: []\nlint:\n  - {ignore: no-because, because: none lacks it}\n",
       "there is nothing that `no-because` would point out here; take it out [needless-switch]\n"},
      {"lint:\n  - {ignore: no-becuase, because: b}\n",
       "error: there is no lint called `no-becuase`; did you mean `no-because`? [unknown-lint]\n"},
  };
  for (const Slip& slip : slips) {
    INFO(slip.more);
    CHECK(Told(slip.more) == slip.told);
  }
}

TEST_CASE("a lint that is switched off is not told") {
  const std::string unused = "rules:\n  - {id: far, when: [towed], then: [ran_far], because: it does}\n";
  CHECK(Told(unused + "lint:\n  - {ignore: unused-rule, at: far, because: another shop asks for it}\n") == "");
  CHECK(Told(unused + "lint:\n  - {ignore: unused-rule, because: all of them}\n") == "");
}

}  // namespace
}  // namespace gearwhy
