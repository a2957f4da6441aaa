// The measures of a rulebook: what a fault typically shows, who its twins are, and a step along the scale.
#include <cmath>

#include "engine/ground/diagnose.h"
#include "engine/study/moved_frequencies.h"
#include "tests/support/book.h"
#include "tests/support/catch.h"
#include "tests/support/typical_findings.h"

namespace gearwhy {
namespace {

// Faults a, b, c (0 to 2), states s, t (3, 4), findings x, y, z (5 to 7).
//   a -90%-> s -80%-> x    a -50%-> t -95%-> y    b -72%-> x    c -30%-> y, c -40%-> z
Network SmallNetwork() {
  Network network;
  const auto add = [&](const char* id, EventType type, std::vector<Cause> causes) {
    network.events.push_back({id, type, 0.01, std::move(causes)});
  };
  add("a", EventType::kFault, {});
  add("b", EventType::kFault, {});
  add("c", EventType::kFault, {});
  add("s", EventType::kState, {{0, 0.9}});
  add("t", EventType::kState, {{0, 0.5}});
  add("x", EventType::kFinding, {{3, 0.8}, {1, 0.72}});
  add("y", EventType::kFinding, {{4, 0.95}, {2, 0.3}});
  add("z", EventType::kFinding, {{2, 0.4}});
  return network;
}

TEST_CASE("A finding is typical when every link on the way acts usually; else the most frequent one is") {
  const Network network = SmallNetwork();
  const auto effects = EffectsOf(network);
  const Typical a = TypicalFindings(network, effects, 0, 0.8);
  CHECK(a.findings == std::vector{5});  // y only by a link of 50%
  CHECK(std::abs(a.p_alone.at(0) - 0.9 * 0.8) < 1e-12);
  const Typical c = TypicalFindings(network, effects, 2, 0.8);
  CHECK(c.findings == std::vector{7});
  CHECK(std::abs(c.p_alone.at(0) - 0.4) < 1e-12);
}

TEST_CASE("A fault alone brings about what its ways together bring about, and nothing unexplained happens") {
  Network network = SmallNetwork();
  network.events[5].causes.push_back({4, 0.6});  // a -50%-> t -60%-> x besides
  const auto p = ChancesAlone(network, EffectsOf(network), 0, {3, 5, 7});
  CHECK(std::abs(p.at(0) - 0.9) < 1e-12);
  CHECK(std::abs(p.at(1) - (1 - (1 - 0.9 * 0.8) * (1 - 0.5 * 0.6))) < 1e-12);
  CHECK(p.at(2) == 0);
}

TEST_CASE("Twins show the same findings equally often") {
  const Network network = SmallNetwork();
  const auto effects = EffectsOf(network);
  const auto typical = [&](int fault) { return TypicalFindings(network, effects, fault, 0.8); };
  CHECK(AreTwins(typical(0), typical(1)));  // 0.72 by two links and by one
  CHECK_FALSE(AreTwins(typical(0), typical(2)));
  CHECK_FALSE(AreTwins({{5}, {0.72}}, {{5}, {0.74}}));
}

TEST_CASE("A step goes from word to word, and as far between two words as before") {
  Words words;
  words.how_often = {{"mostly", 0.9}, {"half", 0.5}, {"seldom", 0.1}};
  const FrequencyScale scale(words);
  const auto near = [](double p, double q) { return std::abs(p - q) < 1e-12; };
  CHECK(near(scale.Move(0.5, 1), 0.9));
  CHECK(near(scale.Move(0.5, -1), 0.1));
  // Odds 1 : 3 lie log 3 of log 9, half a step, below even odds; one step up they lie half a step above.
  CHECK(near(scale.Move(0.25, 1), 0.75));
  // Beyond the ends the steps are as wide as the last: odds × 9 and ÷ 9.
  CHECK(near(scale.Move(0.9, 1), 81.0 / 82));
  CHECK(near(scale.Move(0.01, -1), 1.0 / (1 + 99 * 9)));
  CHECK(near(scale.Move(scale.Move(0.03, 1), -1), 0.03));
  CHECK(scale.Move(0, 1) == 0);
  CHECK(scale.Move(1, -1) == 1);
}

constexpr const char* kLamps = R"(
kinds:
  lamp: {values: {l1: lamp 1, l2: lamp 2}}
how_often: {mostly: 90%, half: 50%, seldom: 10%}
facts:
  wet: {says: it is wet}
events:
  blown: {type: fault, slots: {lamp: lamp}, says: "{lamp} is blown"}
  dark: {type: finding, slots: {lamp: lamp}, says: "{lamp} is dark"}
chances:
  - {id: blows, fault: {blown: $l}, when: [lamp: $l], chance: half, factors: [{id: water, when: [wet], odds: 3}]}
charts:
  - id: darkness
    symptom: {dark: $l}
    when: [lamp: $l]
    unexplained: half
    causes:
      - {cause: {blown: $l}, how_often: half}
)";

TEST_CASE("All that comes from one line of the rulebook goes the same way, and factors stay") {
  TestBook test(kLamps);
  INFO(test.Errors());
  REQUIRE(test.book.has_value());
  const auto c = test.ReadCase("night", "case: night\ntitle: Night\nhistory:\n  - wet\n");
  REQUIRE(c.has_value());
  const auto diagnosis =
      GroundCase(MakeTransmission(*test.book, nullptr, "", test.diagnostics), *c, test.diagnostics);
  REQUIRE(diagnosis.has_value());
  const auto at = [&](const char* name, const char* lamp) {
    return static_cast<std::size_t>(diagnosis->ground.Find({name, {std::string(lamp)}}).value());
  };
  int up = 0;
  for (std::uint64_t draw = 1; draw <= 100; ++draw) {
    const Network moved = MovedFrequencies(*test.book, draw).Apply(diagnosis->ground);
    const Event& fault = moved.events[at("blown", "l1")];
    const Event& dark = moved.events[at("dark", "l1")];
    const auto is = [](double p, double high, double low) {
      return std::abs(p - high) < 1e-12 || std::abs(p - low) < 1e-12;
    };
    CHECK(is(fault.p_unexplained, 27.0 / 28, 3.0 / (3 + 9)));  // odds 9 or 1/9, times 3
    CHECK(is(dark.p_unexplained, 0.9, 0.1));
    CHECK(is(dark.causes.at(0).p_how_often, 0.9, 0.1));
    CHECK(fault.p_unexplained == moved.events[at("blown", "l2")].p_unexplained);
    CHECK(dark.p_unexplained == moved.events[at("dark", "l2")].p_unexplained);
    CHECK(dark.causes[0].p_how_often == moved.events[at("dark", "l2")].causes.at(0).p_how_often);
    up += dark.p_unexplained > 0.5 ? 1 : 0;
  }
  // Of 100 fair draws fewer than 25 or more than 75 go up once in millions.
  CHECK(up > 25);
  CHECK(up < 75);
}

}  // namespace
}  // namespace gearwhy
