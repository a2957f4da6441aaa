#include "engine/drivetrain/speed_facts.h"

#include "engine/drivetrain/fact_collector.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr const char* kReading = "measured_speeds";

// The slots of `measured_speeds` in the words, or nothing after reporting that its shape is another.
struct ReadingShape {
  int range = -1, input = -1, output = -1;
};
std::optional<ReadingShape> ShapeOf(const Word& word, Diagnostics& diagnostics) {
  const ReadingShape shape{word.SlotIndex("range"), word.SlotIndex("input"), word.SlotIndex("output")};
  const auto is_speed = [&](int slot) {
    return slot >= 0 && word.slots[At(slot)].dimension == Dimension::kSpeed;
  };
  if (shape.range >= 0 && !word.slots[At(shape.range)].dimension && is_speed(shape.input) &&
      is_speed(shape.output)) {
    return shape;
  }
  diagnostics.Error(
      word.place, "unit-fact-shape",
      "`measured_speeds` is read as a fact with the slots {range, input, output}, the last two speeds");
  return std::nullopt;
}

void ReadOne(const Unit& unit, const std::string& range, double input_rpm, double output_rpm,
             const Place& place, FactCollector& facts) {
  const SpeedReading reading = ReadSpeeds(unit, range, input_rpm, output_rpm);
  facts.Give("measured_slip", {{"range", range}, {"is", reading.slip}}, place, true);
  for (const RatioCause& cause : reading.causes) {
    const std::size_t changes = cause.not_holding.size() + cause.not_releasing.size();
    if (changes == 0) facts.Give("speeds_fit_range", {{"range", range}}, place, true);
    if (changes != 1) continue;
    for (const std::string& element : cause.not_holding) {
      facts.Give("speeds_fit_not_holding", {{"range", range}, {"element", element}}, place, true);
    }
    for (const std::string& element : cause.not_releasing) {
      facts.Give("speeds_fit_not_releasing", {{"range", range}, {"element", element}}, place, true);
    }
  }
}

}  // namespace

std::vector<GivenFact> SpeedFacts(const Unit& unit, const Case& c, const Words& words,
                                  Diagnostics& diagnostics) {
  FactCollector facts(words, diagnostics);
  const Word* word = words.Find(kReading);
  if (word == nullptr) return {};
  const std::optional<ReadingShape> shape = ShapeOf(*word, diagnostics);
  if (!shape) return {};
  for (const CaseFact& fact : c.facts) {
    if (fact.statement.name != kReading) continue;
    const auto slot = [&](int index) { return fact.statement.slots[At(index)]; };
    const double input_rpm = std::get<double>(slot(shape->input));
    const double output_rpm = std::get<double>(slot(shape->output));
    if (!(input_rpm > 0) || !(output_rpm > 0)) {
      diagnostics.Error(
          fact.place, "speed-not-above-zero",
          "measured speeds must be above zero; a shaft that stands still is `no_drive`, not a ratio");
      continue;
    }
    ReadOne(unit, std::get<std::string>(slot(shape->range)), input_rpm, output_rpm, fact.place, facts);
  }
  return facts.Take();
}

}  // namespace gearwhy
