#include <algorithm>
#include <fstream>
#include <limits>
#include <sstream>

#include "engine/render/interview_text.h"
#include "tests/support/book.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

std::string LampBook() {
  std::ifstream file(GEARWHY_SOURCE_DIR "/tests/cli/golden/ask-measure/book/lamp.yaml");
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

// A case of the lamp book with its diagnosis.
struct Lamp {
  TestBook book;
  std::optional<Case> c;
  std::optional<Diagnosis> diagnosis;
  BeliefLimits limits;

  explicit Lamp(const std::string& lines, const std::string& text = LampBook()) : book(text) {
    INFO(book.Errors());
    REQUIRE(book.book);
    c = book.ReadCase("x", "case: x\ntitle: Dark\ncomplaint: [{present: {dark: attic}}]\n" + lines);
    INFO(book.Errors());
    REQUIRE(c);
    diagnosis = Diagnose(*book.book, nullptr, *c, limits, book.diagnostics);
    REQUIRE(diagnosis);
  }
  NextStep Next(const InterviewState& state = {}) const {
    return FindNextStep(*diagnosis, WeighCase(*diagnosis), state);
  }
  double ChanceOut() const { return OutcomeNow(*diagnosis)->marked; }
  RankReport Report() const { return MakeRankReport(*diagnosis, nullptr, limits); }
};

constexpr const char* kWireSuspected =
    "history: [house_is_old]\nmeasured: [{supply: {room: attic, is: 2 V}}]\nobserved: [{absent: {dark: "
    "hall}}, {present: "
    "{thread_seen_broken: attic}}, "
    "{absent: {glass_seen_black: attic}}]\nunknown: [{voltage_low: hall}, {thread_seen_broken: hall}, "
    "{glass_seen_black: hall}, fuse_seen_melted]\n";

TEST_CASE("a check is worth asking when it tells something, and something for its minutes") {
  CHECK(WorthAsking(kLeastBits, 10));
  CHECK_FALSE(WorthAsking(0.99 * kLeastBits, 10));
  CHECK(WorthAsking(0.5, 500));
  CHECK_FALSE(WorthAsking(0.5, 501));
  CHECK(WorthAsking(0.5, 0));
}

TEST_CASE("a number that follows from elsewhere is not asked for") {
  std::string text = LampBook();
  const auto replace = [&](const std::string& from, const std::string& to) {
    text.replace(text.find(from), from.size(), to);
  };
  replace("$v < 200 V", "$v < 1 V");
  replace("$v >= 200 V", "$v >= 900 V");
  CHECK(Lamp("", text).Next().question.measures.size() == 1);
  replace("rules:\n",
          "rules:\n  - {id: by-the-meter, when: [{room: $r}], then: [{supply: {room: $r, is: 230 V}}]}\n");
  const NextStep next = Lamp("", text).Next();
  CHECK(next.question.check.key == "measure-supply:hall");
  CHECK(next.question.measures.empty());
}

TEST_CASE("the next question is the best that was not passed over") {
  const Lamp lamp("");
  const NextStep first = lamp.Next();
  REQUIRE(first.kind == NextStep::Kind::kAsk);
  CHECK(first.question.check.key == "measure-supply:hall");
  // The number is asked for once, and not when the case has it.
  REQUIRE(first.question.measures.size() == 1);
  CHECK(first.question.measures[0].fact == Statement{"supply", {"hall", 0.0}});
  CHECK(first.question.measures[0].quantities == std::vector<int>{1});
  InterviewState state;
  state.measured = {"measure-supply:hall"};
  CHECK(lamp.Next(state).question.check.key == "measure-supply:hall");
  CHECK(lamp.Next(state).question.measures.empty());
  state = {};
  state.passed = {"measure-supply:hall", "measure-supply:attic"};
  const NextStep second = lamp.Next(state);
  REQUIRE(second.kind == NextStep::Kind::kAsk);
  CHECK(second.question.check.key == "other-room:hall");
  CHECK(second.question.measures.empty());
  // What is left of a check that is being made comes first.
  state = {};
  state.going_on = "look-at-bulb:attic";
  CHECK(lamp.Next(state).question.check.key == "look-at-bulb:attic");
}

TEST_CASE("taking the unit out is never assumed") {
  const Lamp lamp(kWireSuspected);
  REQUIRE(lamp.ChanceOut() >= kWouldChange);
  const NextStep step = lamp.Next();
  REQUIRE(step.kind == NextStep::Kind::kUnitOut);
  CHECK(step.question.check.key == "look-at-wire:attic");
  InterviewState state;
  state.keep_unit_in = true;
  CHECK(lamp.Next(state).kind == NextStep::Kind::kEnough);
  const Lamp open(std::string(kWireSuspected) + "open: [wall_open]\n");
  REQUIRE(open.Next().kind == NextStep::Kind::kAsk);
  CHECK(open.Next().question.check.key == "look-at-wire:attic");
}

TEST_CASE("while the repair may leave the unit in, it is not taken out for the shortest way") {
  // Nobody can tell of the fuse, so that the wire is all there is to look at.
  const Lamp lamp(
      "observed: [{absent: {thread_seen_broken: attic}}, {absent: {glass_seen_black: attic}}]\n"
      "unknown: [fuse_seen_melted, {voltage_low: hall}]\n");
  const CaseChecks checks = WeighCase(*lamp.diagnosis);
  const auto soonest = std::min_element(
      checks.weighed.checks.begin(), checks.weighed.checks.end(),
      [](const WeighedCheck& a, const WeighedCheck& b) { return a.minutes_to_cause < b.minutes_to_cause; });
  REQUIRE(checks.ground[soonest->check].key == "look-at-wire:attic");
  REQUIRE(MayStayIn(OutcomeNow(*lamp.diagnosis)));
  InterviewState state;
  NextStep step = lamp.Next();
  for (; step.kind == NextStep::Kind::kAsk; step = lamp.Next(state)) {
    CHECK_FALSE(step.question.check.needs_unit_out);
    REQUIRE(state.passed.insert(step.question.check.key).second);
  }
  // With the unit in, nothing more is worth asking, and whether it comes out is open: the user may go on.
  CHECK(state.passed.contains("other-room:hall"));
  REQUIRE(lamp.ChanceOut() > kLeaveInUpTo);
  REQUIRE(lamp.ChanceOut() < kWouldChange);
  CHECK(step.kind == NextStep::Kind::kEnough);
  state.ask_anything = true;
  CHECK(lamp.Next(state).kind == NextStep::Kind::kUnitOut);
}

TEST_CASE("the unit stays in while nothing is most likely to blame, whatever it would be if there were") {
  CHECK(IsToStayIn(Outcome{.any = 0.4, .marked = 0.4}));
  CHECK(IsToStayIn(Outcome{.any = 0.9, .marked = 0.15}));
  CHECK_FALSE(IsToStayIn(Outcome{.any = 0.9, .marked = 0.44}));
  CHECK(MayStayIn(Outcome{.any = 0.9, .marked = 0.44}));
  CHECK_FALSE(MayStayIn(Outcome{.any = 0.6, .marked = 0.45}));
  CHECK(IsToStayIn(std::nullopt));  // what cannot be worked out is no reason to take it out
}

TEST_CASE("where the repair most likely leaves the unit in, it is not taken out unless the user goes on") {
  const Lamp lamp(
      "observed: [{present: {dark: hall}}, {absent: {thread_seen_broken: attic}}, "
      "{absent: {glass_seen_black: attic}}]\n"
      "unknown: [{voltage_low: hall}, {voltage_low: attic}, {thread_seen_broken: hall}, "
      "{glass_seen_black: hall}, fuse_seen_melted]\n");
  REQUIRE(lamp.ChanceOut() < kLeaveInUpTo);
  CHECK(lamp.Next().kind == NextStep::Kind::kEnough);
  InterviewState state;
  state.ask_anything = true;
  CHECK(lamp.Next(state).kind == NextStep::Kind::kUnitOut);
}

TEST_CASE("it is settled when somebody has seen it, and not before") {
  CHECK_FALSE(SeenDirectly(*Lamp(kWireSuspected).diagnosis, Lamp(kWireSuspected).Report()));
  const Lamp seen(std::string(kWireSuspected) + "open: [wall_open]\n");
  Case c = *seen.c;
  CaseChange change;
  change.statement = {"wire_seen_broken", {"attic"}};
  change.trust = "seen";
  REQUIRE(ChangeCase(c, change));
  Diagnostics diagnostics;
  const auto diagnosis = Diagnose(*seen.book.book, nullptr, c, seen.limits, diagnostics);
  REQUIRE(diagnosis);
  CHECK(SeenDirectly(*diagnosis, MakeRankReport(*diagnosis, nullptr, seen.limits)));
}

TEST_CASE("what is open is looked at once more when it is settled, and was asked before that") {
  const Lamp lamp(
      "open: [cover_off]\nobserved: [{present: {thread_seen_broken: attic}, trust: seen}, "
      "{present: {glass_seen_black: attic}, trust: seen}]\n");
  const CaseChecks checks = WeighCase(*lamp.diagnosis);
  const auto while_open = [&](NextStep::Kind kind) {
    std::vector<std::string> keys;
    for (const NextCheck& check : Conclude(*lamp.diagnosis, checks, lamp.Report(), {kind, {}}).while_open)
      keys.push_back(check.key);
    return keys;
  };
  CHECK(while_open(NextStep::Kind::kEnough).empty());
  CHECK(while_open(NextStep::Kind::kSettled) == std::vector<std::string>{"look-at-bulb:hall"});
}

TEST_CASE("an answer says what was seen, what was not there, and what nobody can tell") {
  const Lamp lamp("");
  InterviewState state;
  state.going_on = "look-at-bulb:attic";
  const NextQuestion question = lamp.Next(state).question;
  REQUIRE(question.check.findings.size() == 2);
  const auto changes = ChangesOf(*lamp.diagnosis, question, {{0}, {}});
  REQUIRE(changes.size() == 3);
  CHECK((changes[0].list == CaseList::kObserved && changes[0].present && changes[0].trust == "seen"));
  CHECK((changes[1].list == CaseList::kObserved && !changes[1].present));
  CHECK((changes[2].list == CaseList::kOpen && changes[2].access == "cover_off"));
  // Who cannot tell has opened nothing.
  const auto unknown = ChangesOf(*lamp.diagnosis, question, {{}, {0, 1}});
  REQUIRE(unknown.size() == 2);
  CHECK((unknown[0].list == CaseList::kUnknown && unknown[1].list == CaseList::kUnknown));
}

TEST_CASE("what moved are the first suspects, and the one that fell from among them") {
  const Lamp before(""), after("observed: [{absent: {dark: hall}}]\n");
  const auto moved = MovedSuspects(FaultChancesOf(*before.diagnosis), *after.diagnosis);
  REQUIRE(moved.size() == 3);
  CHECK(moved[0].fault == "bulb_burnt:attic");
  CHECK(moved[0].after > moved[0].before);
  CHECK(moved[2].fault == "fuse_blown");
  CHECK(moved[2].after < moved[2].before);
  CHECK(MovedSuspects(FaultChancesOf(*before.diagnosis), *before.diagnosis).empty());
  CHECK(ShowMove(0.31, 0.64) == "31 → 64 in 100");
  CHECK(ShowMove(0.02, 0.004) == "2 in 100 → 4 in 1000");
}

TEST_CASE("the moves told beforehand are the moves that come") {
  // The answer is put into the case and the case diagnosed anew: another way to the same numbers.
  const Lamp before("");
  NextQuestion question = before.Next().question;
  WorkOutMoves(*before.diagnosis, WeighCase(*before.diagnosis), question.check,
               std::numeric_limits<double>::infinity());
  REQUIRE(question.check.findings.size() == 1);
  for (const bool present : {true, false}) {
    const Lamp after(std::string("observed: [{") + (present ? "present" : "absent") +
                     ": {voltage_low: hall}, trust: seen}]\n");
    const auto& moves = present ? question.check.findings[0].if_alone : question.check.if_none;
    REQUIRE(!moves.empty());
    for (const Move& move : moves) {
      INFO(move.fault);
      for (std::size_t i = 0; i < after.diagnosis->ground.events.size(); ++i) {
        if (after.diagnosis->ground.network.events[i].id != move.fault) continue;
        CHECK(std::abs(after.diagnosis->chances.p_event[i] - move.then) < 1e-9);
        CHECK(std::abs(before.diagnosis->chances.p_event[i] - move.now) < 1e-9);
      }
    }
  }
}

TEST_CASE("cautions come in full once, then as a reminder; general ones once only") {
  const TestBook book(
      "access: {here: {says: here, minutes: 0}}\n"
      "cautions: {law: {says: Mind the law. Always.}, fire: {says: It burns. Wear gloves.}}\n");
  INFO(book.Errors());
  REQUIRE(book.book);
  const Speaker speaker(book.book->words, nullptr, book.sources);
  const std::string says = "looking", how = "Look.";
  const VariableKinds none;
  NextQuestion question;
  question.check.says = {&says, {}, &none};
  question.check.how = {&how, {}, &none};
  question.check.access_name = "here";
  question.check.own_minutes = question.check.minutes = 2;
  question.check.cautions = {"law", "fire"};
  const std::set<std::string> general = {"Mind the law. Always."};
  std::set<std::string> shown;
  const PromptText first = QuestionText(question, speaker, general, shown, {});
  CHECK(first.before == "\nTake care\n  ! Mind the law. Always.\n  ! It burns. Wear gloves.\n");
  CHECK(first.question == "\nLooking.\n  Here, 2 min.\n  Look.\n");
  CHECK(QuestionText(question, speaker, general, shown, {}).Whole() ==
        "\nLooking.\n  Here, 2 min.\n  ! As before: It burns.\n  Look.\n");
}

}  // namespace
}  // namespace gearwhy
