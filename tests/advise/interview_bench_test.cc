// The interview on the bench: what lies open is measured, one thing after the other, and laid beside its
// limits.
#include "tests/support/shipped_talk.h"

namespace gearwhy {
namespace {

struct Bench {
  ShippedBook shipped;
  TalkBook units = TalkBookOf(shipped);

  Interview Begin(const std::string& open) {
    InterviewBeginning beginning;
    beginning.name = "x";
    beginning.text =
        "case: x\ntitle: X\nunit: ravigneaux-simple-five-speed\nvariant: light\n"
        "complaint:\n  - {present: {no_drive: R}, trust: customer}\n"
        "observed:\n  - {present: {found_cracked: E.piston}, trust: seen}\n" +
        open;
    return Interview::Begin(TalkHost(units), beginning);
  }
  Interview Say(const Interview& interview, const std::string& line) {
    return interview.Answer(Typed(interview, *shipped.book, line));
  }
  // Of the first of that kind that has happened since.
  template <typename Kind>
  const Kind* Find(const Interview& interview) {
    for (const Happening& happening : interview.prompt().since) {
      if (const Kind* one = std::get_if<Kind>(&happening)) return one;
    }
    return nullptr;
  }
  std::string Shown(const Interview& interview) {
    return InterviewText(*shipped.book, shipped.sources, {}).Put(interview.prompt()).question;
  }
};

const char* const kApart = "open: [unit_opened, packs_apart]\n";

TEST_CASE("with the unit in nothing is measured on the bench") {
  Bench bench;
  const Interview begun = bench.Begin("");
  const Interview asked = bench.Say(begun, "measure");
  CHECK_FALSE(asked.prompt().due);
  REQUIRE(bench.Find<Told>(asked) != nullptr);
  CHECK(bench.Find<Told>(asked)->says == "Nothing is to be measured with what is open, or the unit is in.");
}

TEST_CASE("what is measured stands in the case, is laid beside its limits, and is not asked again") {
  Bench bench;
  Interview interview = bench.Say(bench.Begin(kApart), "measure");
  REQUIRE(interview.prompt().due);
  const DueMeasurement first = *interview.prompt().due;
  const int left = interview.prompt().to_measure;
  CHECK(left > 10);
  CHECK(first.fact.name == "spring_length");
  INFO(bench.Shown(interview));
  CHECK(bench.Shown(interview).find("At least 62 mm. With a caliper.") != std::string::npos);
  interview = bench.Say(interview, "63.5 mm");
  CHECK(interview.text().find("spring_length: {part: D.return_spring, is: 63.5 mm}") != std::string::npos);
  REQUIRE(bench.Find<Read>(interview) != nullptr);
  CHECK(StandOf(bench.Find<Read>(interview)->reading.verdicts.front().reading) == ReadingStand::kWithin);
  REQUIRE(interview.prompt().due);
  CHECK(interview.prompt().due->fact != first.fact);
  CHECK(interview.prompt().to_measure == left - 1);
}

TEST_CASE("what is passed over is not asked again, and back asks it once more") {
  Bench bench;
  const Interview begun = bench.Say(bench.Begin(kApart), "measure");
  const Statement first = begun.prompt().due->fact;
  for (const char* pass : {"", "later"}) {
    const Interview passed = bench.Say(begun, pass);
    REQUIRE(passed.prompt().due);
    CHECK(passed.prompt().due->fact != first);
    CHECK(passed.prompt().to_measure == begun.prompt().to_measure - 1);
    CHECK(passed.text() == begun.text());
    CHECK(bench.Say(passed, "back").prompt().due->fact == first);
  }
}

TEST_CASE("measure again leads back to the questions, and passing over all leads there by itself") {
  Bench bench;
  Interview interview = bench.Say(bench.Begin(kApart), "measure");
  CHECK_FALSE(bench.Say(interview, "measure").prompt().due);
  int passed = 0;
  for (; interview.prompt().due && passed < 500; ++passed) interview = bench.Say(interview, "");
  CHECK(passed > 10);
  CHECK_FALSE(interview.prompt().due);
  CHECK(interview.prompt().kind != PromptKind::kOver);
}

TEST_CASE(
    "what cannot be measured in the opened unit any more, and what only the vehicle shows, is left out") {
  Bench bench;
  Interview interview = bench.Say(bench.Begin(kApart), "measure");
  for (int n = 0; interview.prompt().due && n < 500; ++n) {
    const DueMeasurement& due = *interview.prompt().due;
    INFO(StatementId(due.fact));
    CHECK(due.lost_with != "packs_apart");
    CHECK(due.lost_with != "unit_opened");
    CHECK(due.access != "in_car");
    CHECK(due.access != "gauge_on");
    interview = bench.Say(interview, "");
  }
}

TEST_CASE("a number of another kind is refused, and the same is asked again") {
  Bench bench;
  const Interview begun = bench.Say(bench.Begin(kApart), "measure");
  const Interview wrong = bench.Say(begun, "5 bar");
  REQUIRE(wrong.prompt().due);
  CHECK(wrong.prompt().due->fact == begun.prompt().due->fact);
  CHECK(bench.Find<NotUnderstood>(wrong) != nullptr);
  CHECK(wrong.text() == begun.text());
}

}  // namespace
}  // namespace gearwhy
