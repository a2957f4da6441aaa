#include "engine/files/read_reading.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/files/read_value.h"
#include "engine/text/at.h"
#include "engine/text/near_names.h"

namespace gearwhy {
namespace {

class Reader {
 public:
  Reader(const YamlNode& item, const Measurement& measurement, const Rulebook& book,
         const StatementContext& context)
      : item_(item),
        measurement_(measurement),
        book_(book),
        context_(context),
        slot_(At(book.words.Find(measurement.fact)->SlotIndex("is"))) {}

  std::optional<CaseFact> Read() {
    const YamlNode& slots = item_.entries.front().value;
    const YamlNode* is = slots.Find("is");
    const YamlNode* places = slots.Find("places");
    if ((is != nullptr) == (places != nullptr)) {
      context_.diagnostics.Error(
          item_.place, "is-or-places",
          is == nullptr
              ? fmt::format("`{}` needs its slot `is`, what was read, or `places`, what was read at each",
                            measurement_.fact)
              : "say either `is:`, readings of one place, or `places:`, readings of several");
      return std::nullopt;
    }
    Reading reading;
    bool good = ReadWith(slots.Find("with"), reading) && ReadWhen(slots.Find("when"), reading) &&
                ReadTemperature(slots.Find("temperature"), reading);
    if (is != nullptr) {
      good &= ReadAtPlace("", *is, reading);
    } else {
      good &= ReadPlaces(*places, reading);
    }
    if (!good) return std::nullopt;
    CaseFact fact{statement_, item_.place, true, std::nullopt};
    double sum = 0, count = 0;
    for (const ReadAt& at : reading.at) {
      for (const double value : at.values) sum += value;
      count += static_cast<double>(at.values.size());
    }
    fact.statement.slots[slot_] = sum / count;
    const bool plain = slots.Find("with") == nullptr && slots.Find("when") == nullptr &&
                       !reading.temperature_c && is != nullptr && is->IsScalar();
    if (!plain) fact.reading = std::move(reading);
    return fact;
  }

 private:
  bool ReadWith(const YamlNode* with, Reading& reading) {
    reading.with = measurement_.with.front();
    if (with == nullptr) return true;
    std::string name;
    if (!ReadName(*with, "`with`", context_.diagnostics, &name)) return false;
    if (!RequireKnown(name, NamesOf(book_.instruments), "instrument", with->place, context_.diagnostics))
      return false;
    const Instrument& instrument = book_.instruments.at(name);
    const Dimension reads = *book_.words.Find(measurement_.fact)->slots[slot_].dimension;
    if (instrument.reads != reads) {
      context_.diagnostics
          .Error(with->place, "wrong-instrument",
                 fmt::format("{} reads a {}, not a {}; it is measured with {}", instrument.says,
                             DimensionName(instrument.reads), DimensionName(reads), AllowedInstruments()))
          .notes.push_back({instrument.place, fmt::format("`{}` is described here", name)});
      return false;
    }
    reading.with = name;
    return true;
  }

  std::string AllowedInstruments() const {
    std::string names;
    for (const std::string& name : measurement_.with)
      names += fmt::format("{}`{}`", names.empty() ? "" : ", ", name);
    return names;
  }

  bool ReadWhen(const YamlNode* when, Reading& reading) {
    if (when == nullptr) return true;
    std::string name;
    if (!ReadName(*when, "`when`", context_.diagnostics, &name)) return false;
    if (!RequireKnown(name, {"as_found", "as_built"}, "time", when->place, context_.diagnostics))
      return false;
    reading.as_built = name == "as_built";
    return true;
  }

  bool ReadTemperature(const YamlNode* temperature, Reading& reading) {
    if (temperature == nullptr) return true;
    if (!measurement_.p_per_degree) {
      context_.diagnostics
          .Error(temperature->place, "no-temperature",
                 fmt::format("`{}` is judged as it is read, whatever its temperature", measurement_.fact))
          .notes.push_back({measurement_.place, "its measurement has no `per_degree`"});
      return false;
    }
    reading.temperature_c =
        ReadQuantity(*temperature, "`temperature`", "`temperature`: ", Dimension::kTemperature, {-40, 200},
                     context_.diagnostics);
    return reading.temperature_c.has_value();
  }

  // What it reads at its temperature, over what it would at 20 °C.
  double Growth(const Reading& reading) const {
    return reading.temperature_c ? 1 + *measurement_.p_per_degree * (*reading.temperature_c - 20) : 1;
  }

  bool ReadPlaces(const YamlNode& places, Reading& reading) {
    if (!places.IsMap() || places.entries.empty()) {
      context_.diagnostics.Error(places.place, "not-places",
                                 "`places` names each place with what was read there, as in `{1: 1.58 mm, 2: "
                                 "1.49 mm}`");
      return false;
    }
    bool good = true;
    for (const YamlEntry& entry : places.entries) good &= ReadAtPlace(entry.key, entry.value, reading);
    return good;
  }

  bool ReadAtPlace(const std::string& place, const YamlNode& node, Reading& reading) {
    ReadAt at{place, {}};
    bool good = true;
    if (node.IsList() && node.items.empty()) {
      context_.diagnostics.Error(node.place, "no-reading", "there is no reading in this list");
      good = false;
    }
    for (const YamlNode& one : node.IsList() ? node.items : std::vector<YamlNode>{node}) {
      // As a statement of its own with this one number, so that it is checked and reported as any other.
      const auto statement = ReadStatement(WithNumber(one), false, context_);
      good &= statement.has_value();
      if (!statement) break;  // what is wrong besides the number would be said of each
      statement_ = *statement;
      at.values.push_back(std::get<double>(statement->slots[slot_]) / Growth(reading));
    }
    reading.at.push_back(std::move(at));
    return good;
  }

  YamlNode WithNumber(const YamlNode& number) const {
    YamlNode item = item_;
    std::vector<YamlEntry>& slots = item.entries.front().value.entries;
    const YamlEntry is{"is", number.place, number};
    std::erase_if(slots, [](const YamlEntry& entry) {
      return entry.key == "is" || entry.key == "places" || entry.key == "with" || entry.key == "when" ||
             entry.key == "temperature";
    });
    slots.push_back(is);
    return item;
  }

  const YamlNode& item_;
  const Measurement& measurement_;
  const Rulebook& book_;
  const StatementContext& context_;
  std::size_t slot_;
  Statement statement_;
};

}  // namespace

std::optional<CaseFact> ReadMeasuredFact(const YamlNode& item, const Rulebook& book,
                                         const StatementContext& context) {
  if (item.IsMap() && item.entries.size() == 1 && item.entries.front().value.IsMap()) {
    const auto measurement = book.measurements.find(item.entries.front().key);
    if (measurement != book.measurements.end())
      return Reader(item, measurement->second, book, context).Read();
  }
  const auto statement = ReadStatement(item, false, context);
  if (!statement) return std::nullopt;
  return CaseFact{*statement, item.place, true, std::nullopt};
}

}  // namespace gearwhy
