// What measured speeds say, for the Simpson arrangement (sun 33, ring 72: textbook tooth counts, from
// memory). Its ratios are the closed forms of that arrangement: first 2 + s/r = 2.458, second 1 + s/r =
// 1.458, third 1; without the band, second falls back to first.
#include "engine/drivetrain/speed_facts.h"

#include <set>

#include "engine/files/load_words.h"
#include "tests/drivetrain/units.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

constexpr const char* kWords = R"(
kinds:
  element: {from: unit}
  range: {from: unit}
facts:
  measured_speeds: {slots: {range: range, input: speed, output: speed}, says: s}
  measured_slip: {slots: {range: range, is: number}, says: s}
  speeds_fit_range: {slots: {range: range}, says: s}
  speeds_fit_not_holding: {slots: {range: range, element: element}, says: s}
  speeds_fit_not_releasing: {slots: {range: range, element: element}, says: s}
)";

struct Read {
  std::set<std::string> facts;
  std::string errors;
};

Read ReadSpeedsOf(const std::string& range, double input_rpm, double output_rpm,
                  const char* words_text = kWords) {
  Sources sources;
  Diagnostics diagnostics;
  const auto root = ParseYaml(sources, sources.Add("words.yaml", words_text), diagnostics);
  REQUIRE(root);
  std::vector<Fields> files = {Fields(*root, "a file", diagnostics)};
  const Words words = LoadWords(files, diagnostics);
  REQUIRE_FALSE(diagnostics.HasErrors());
  Case c;
  c.facts.push_back({{"measured_speeds", {range, input_rpm, output_rpm}}, {}});
  Read read;
  for (const GivenFact& fact : SpeedFacts(Simpson(33, 72), c, words, diagnostics)) {
    CHECK(fact.calculated);
    read.facts.insert(StatementId(fact.statement));
  }
  for (const Diagnostic& diagnostic : diagnostics.Sorted()) read.errors += diagnostic.message + "\n";
  return read;
}

TEST_CASE("speeds at the ratio of the range lose nothing") {
  CHECK(ReadSpeedsOf("D3", 2000, 2000).facts ==
        std::set<std::string>{"measured_slip:D3:0", "speeds_fit_range:D3"});
}

TEST_CASE("speeds at the ratio of first in second say that the band is open") {
  const Read read = ReadSpeedsOf("D2", 2458.33, 1000);
  CHECK(read.facts.count("speeds_fit_not_holding:D2:B") == 1);
  CHECK(read.facts.count("speeds_fit_range:D2") == 0);
  CHECK(read.facts.count("speeds_fit_not_holding:D2:C") == 0);
}

TEST_CASE("speeds between the ratios are slip and no element's") {
  const Read read = ReadSpeedsOf("D2", 1700, 1000);
  REQUIRE(read.facts.size() == 1);
  CHECK(read.facts.begin()->rfind("measured_slip:D2:0.142", 0) == 0);  // 1 - 1.4583/1.7
}

TEST_CASE("a shaft that stands still is no ratio") {
  CHECK(ReadSpeedsOf("D2", 1700, 0).errors ==
        "measured speeds must be above zero; a shaft that stands still is `no_drive`, not a ratio\n");
}

TEST_CASE("a fact of that name with another shape is an error") {
  CHECK(ReadSpeedsOf(
            "D2", 1, 1,
            "kinds:\n  range: {from: unit}\nfacts:\n  measured_speeds: {slots: {range: range}, says: s}\n")
            .errors ==
        "`measured_speeds` is read as a fact with the slots {range, input, output}, the last two speeds\n");
}

}  // namespace
}  // namespace gearwhy
