// Every asking for memory made to fail, one after another: an answer ends with std::bad_alloc and no other
// way, and the rulebook answers the next case as if nothing had been (with the address sanitizer: and nothing
// is lost).
#include <algorithm>
#include <functional>
#include <new>
#include <optional>
#include <string>
#include <vector>

#include "engine/api/gearwhy.h"
#include "engine/text/at_once.h"
#include "tests/support/catch.h"
#include "tests/support/failing_new.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

const std::string kGolden = GEARWHY_SOURCE_DIR "/tests/cli/golden/";

// The n to try: the first hundred, and then further and further apart, some `most` in all.
std::vector<long> Some(long all, long most) {
  std::vector<long> some;
  const long beyond = std::max<long>(all - 100, 0), step = std::max<long>(beyond / most, 1);
  for (long n = 1; n <= std::min<long>(all, 100); ++n) some.push_back(n);
  for (long n = 101; n <= all; n += step) some.push_back(n);
  return some;
}

// Whether `work` came to its end with the n-th allocation failing.
bool Ends(long n, const std::function<void()>& work) {
  FailAllocation(n);
  bool ended = false;
  try {
    work();
    ended = true;
  } catch (const std::bad_alloc&) {
  }
  FailAllocation(0);
  return ended;
}

// Lets `work` fail at some `most` of all its allocations, and calls `after` each time.
void FailEach(long most, const std::function<void()>& work, const std::function<void()>& after) {
  FailAllocation(0);
  work();
  const long all = AllocationsAsked();
  REQUIRE(all > 100);
  int failed = 0;
  for (const long n : Some(all, most)) {
    CAPTURE(n, all);
    if (!Ends(n, work)) ++failed;
    after();
  }
  CHECK(failed > 100);
}

std::string Answered(const api::Book& book, const std::string& text) {
  api::Messages messages;
  const auto c = book.ReadCase(text, "one", &messages);
  const auto diagnosis = c ? book.Diagnose(*c, &messages) : std::nullopt;
  // Without the JSON: the destructors of its library ask for memory, and end the process where there is none.
  // The program ends plainly all the same.
  std::string all = diagnosis ? diagnosis->RankText() + diagnosis->NextText() : "nothing";
  for (const api::Message& message : messages) all += message.shown;
  return all;
}

const std::string kFeverCase = "case: one\ntitle: T\ncomplaint: [present: fever]\n";

TEST_CASE("a rulebook that could not be opened for want of memory opens the next time") {
  const AloneOnThread alone;
  const auto open = [] { return api::Book::Open({kGolden + "fever-rank/book"}).has_value(); };
  FailEach(
      400, [&] { open(); }, [&] { REQUIRE(open()); });
}

TEST_CASE("a case that could not be answered for want of memory is answered the next time") {
  const AloneOnThread alone;
  const auto book = api::Book::Open({kGolden + "fever-rank/book"});
  REQUIRE(book);
  const std::string whole = Answered(*book, kFeverCase);
  REQUIRE(whole.find("malaria") != std::string::npos);
  FailEach(
      400, [&] { Answered(*book, kFeverCase); }, [&] { REQUIRE(Answered(*book, kFeverCase) == whole); });
}

TEST_CASE("the same where nothing has been made of the rulebook yet, and on all cores") {
  std::string whole;
  std::optional<api::Book> book;
  const auto answer_first = [&] {
    book = api::Book::Open({kGolden + "fever-rank/book"});
    if (book) Answered(*book, kFeverCase);
  };
  answer_first();
  whole = Answered(*book, kFeverCase);
  FailEach(400, answer_first, [&] {
    if (book) REQUIRE(Answered(*book, kFeverCase) == whole);
  });
}

TEST_CASE("an interview that could not go on for want of memory goes on from where it was") {
  const AloneOnThread alone;
  const auto book = api::Book::Open({kGolden + "ask-resume/book"});
  REQUIRE(book);
  const std::string text = ReadAll(kGolden + "ask-resume/patient.yaml");
  const auto begun = book->Begin({.case_text = text, .name = "patient"});
  REQUIRE(begun);
  const std::string next = begun->Answer("1").page();
  FailEach(
      200, [&] { begun->Answer("1"); }, [&] { REQUIRE(begun->Answer("1").page() == next); });
}

TEST_CASE("so it is with a shipped unit, whose transmission is made when a case first asks for it") {
  const AloneOnThread alone;
  const std::string text = ReadAll(GEARWHY_SOURCE_DIR "/cases/no-reverse-when-hot.yaml");
  const auto open = [] { return *api::Book::Open({GEARWHY_SOURCE_DIR "/rules"}); };
  const auto answer = [&](const api::Book& book) {
    api::Messages messages;
    const auto c = book.ReadCase(text, "no-reverse-when-hot", &messages);
    const auto diagnosis = c ? book.Diagnose(*c, &messages) : std::nullopt;
    return diagnosis ? diagnosis->RankText({.reasons = false, .checks = 0}) : "nothing";
  };
  FailAllocation(0);
  const std::string whole = answer(open());
  FailAllocation(0);
  const api::Book counted = open();
  FailAllocation(0);
  answer(counted);
  const long all = AllocationsAsked();
  for (long n = 1; n < all; n = n * 2 + 17) {
    CAPTURE(n, all);
    const api::Book book = open();
    CHECK_FALSE(Ends(n, [&] { answer(book); }));
    REQUIRE(answer(book) == whole);
  }
}

}  // namespace
}  // namespace gearwhy
