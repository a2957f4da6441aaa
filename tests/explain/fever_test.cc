// A rulebook with no transmission in it goes the ordinary way, and gives the textbook's numbers.
#include <cmath>

#include "engine/explain/rank_report.h"
#include "engine/ground/diagnose.h"
#include "tests/support/book.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

constexpr const char* kFever = R"(
events:
  cold: {type: fault, says: it is a cold}
  flu: {type: fault, says: it is flu}
  malaria: {type: fault, says: it is malaria}
  fever: {type: finding, says: there is fever, says_absent: there is no fever}
trust:
  certain: {noticed: 100%, mistaken: 0%, says: certain}
chances:
  - {id: cold-chance, fault: cold, chance: 10%}
  - {id: flu-chance, fault: flu, chance: 5%}
  - {id: malaria-chance, fault: malaria, chance: 1%}
charts:
  - id: fever-chart
    symptom: fever
    unexplained: 0%
    causes:
      - {cause: cold, how_often: 40%}
      - {cause: flu, how_often: 8 in 10}
      - {cause: malaria, how_often: 0.9}
)";

Diagnosis DiagnoseText(TestBook& test, std::optional<Case>& c, const std::string& observed) {
  c = test.ReadCase("patient", "case: patient\ntitle: A patient\nobserved:\n" + observed);
  INFO(test.Errors());
  REQUIRE(c.has_value());
  BeliefLimits limits;
  limits.all_events = true;
  auto diagnosis = Diagnose(*test.book, nullptr, *c, limits, test.diagnostics);
  INFO(test.Errors());
  REQUIRE(diagnosis.has_value());
  return std::move(*diagnosis);
}

// Russell & Norvig, Artificial Intelligence: A Modern Approach, chapter on probabilistic reasoning: the
// noisy-OR table of fever with inhibition 0.6 (cold), 0.2 (flu), 0.1 (malaria) and no leak.
TEST_CASE("the chance of fever given its causes is that of the textbook, from YAML to number") {
  const double kTable[8] = {0, 0.9, 0.8, 0.98, 0.4, 0.94, 0.88, 0.988};
  for (int row = 0; row < 8; ++row) {
    TestBook test(kFever);
    INFO(test.Errors());
    REQUIRE(test.book.has_value());
    std::string observed;
    const char* const kNames[3] = {"malaria", "flu", "cold"};
    for (int bit = 0; bit < 3; ++bit) {
      observed += std::string("  - ") + ((row >> bit) & 1 ? "present: " : "absent: ") + kNames[bit] + "\n";
    }
    std::optional<Case> c;
    const Diagnosis diagnosis = DiagnoseText(test, c, observed);
    const auto fever = diagnosis.ground.Find({"fever", {}});
    REQUIRE(fever.has_value());
    CHECK(std::abs(diagnosis.chances.p_event[static_cast<std::size_t>(*fever)] - kTable[row]) < 1e-12);
  }
}

// Bayes' theorem by hand over the eight combinations.
TEST_CASE("the chances of the causes given fever are Bayes' theorem over all combinations") {
  TestBook test(kFever);
  std::optional<Case> c;
  const Diagnosis diagnosis = DiagnoseText(test, c, "  - present: fever\n");
  const double kChance[3] = {0.01, 0.05, 0.10};  // malaria, flu, cold
  const double kFails[3] = {0.1, 0.2, 0.6};
  double total = 0;
  double with[3] = {0, 0, 0};
  for (int combination = 0; combination < 8; ++combination) {
    double p = 1, no_fever = 1;
    for (int i = 0; i < 3; ++i) {
      const bool on = (combination >> i) & 1;
      p *= on ? kChance[i] : 1 - kChance[i];
      if (on) no_fever *= kFails[i];
    }
    total += p * (1 - no_fever);
    for (int i = 0; i < 3; ++i) {
      if ((combination >> i) & 1) with[i] += p * (1 - no_fever);
    }
  }
  const char* const kNames[3] = {"malaria", "flu", "cold"};
  for (int i = 0; i < 3; ++i) {
    const auto event = diagnosis.ground.Find({kNames[i], {}});
    CHECK(std::abs(diagnosis.chances.p_event[static_cast<std::size_t>(*event)] - with[i] / total) < 1e-12);
  }
  CHECK(std::abs(diagnosis.chances.logp_reports - std::log(total)) < 1e-12);
  const RankReport report = MakeRankReport(diagnosis, nullptr, {});
  REQUIRE(report.suspects.size() == 3);
  CHECK(report.suspects[0].fault == "cold");
  CHECK(report.suspects[0].role == Role::kRoot);
  CHECK(report.suspects[0].part.empty());
  CHECK(std::abs(report.suspects[0].before - 0.1) < 1e-12);
  CHECK(report.exactness.exact);
}

TEST_CASE("what nobody looked at is neither present nor absent") {
  TestBook test(kFever);
  std::optional<Case> c;
  const Diagnosis nothing = DiagnoseText(test, c, "  - absent: malaria\n");
  const auto flu = nothing.ground.Find({"flu", {}});
  CHECK(nothing.chances.p_event[static_cast<std::size_t>(*flu)] == 0.05);
}

TEST_CASE("observations that contradict each other with certainty are said to, not answered") {
  TestBook test(kFever);
  std::optional<Case> c;
  const Diagnosis diagnosis =
      DiagnoseText(test, c, "  - present: fever\n  - absent: cold\n  - absent: flu\n  - absent: malaria\n");
  CHECK_FALSE(diagnosis.chances.possible);
}

}  // namespace
}  // namespace gearwhy
