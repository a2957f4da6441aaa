#include "engine/files/load_measurements.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "engine/files/read_statement.h"
#include "engine/files/read_value.h"
#include "engine/text/near_names.h"

namespace gearwhy {
namespace {

using enum Presence;

// A quantity above or at zero; `to` stays what it was when there is none.
template <typename To>
void ReadAmount(Fields& fields, const char* key, Presence presence, Dimension dimension, To& to,
                const char* help) {
  const YamlNode* node = fields.Value(key, presence, "quantity", help);
  if (node == nullptr) return;
  if (const auto number = ReadQuantity(*node, fmt::format("`{}`", key), "", dimension,
                                       {0, RangeOf(dimension).most}, fields.diagnostics()))
    to = *number;
}

class MeasurementLoader {
 public:
  MeasurementLoader(Rulebook& book, Diagnostics& diagnostics)
      : book_(book), diagnostics_(diagnostics), context_{book.words, diagnostics} {}

  void Load(const YamlEntry& entry, Fields& fields) {
    Measurement measurement;
    measurement.fact = entry.key;
    measurement.place = entry.key_place;
    const Word* word = FindFact(entry);
    Dimension reads = Dimension::kNumber;
    VariableUses variables;
    std::set<std::string> bound;
    for (const Slot& slot : word == nullptr ? std::vector<Slot>() : word->slots) {
      if (slot.dimension) reads = *slot.dimension;
      if (slot.dimension) continue;
      variables.kinds[slot.name] = slot.kind;
      variables.first_use[slot.name] = word->place;
      bound.insert(slot.name);
    }
    fields.Names(
        "with", measurement.with,
        "The instruments it can be read with, the cheapest first; the first where a case names none.");
    fields.Names("limits", measurement.limits,
                 "Facts whose quantities `least`, `most` and `new` are its limits.");
    ReadChance(fields, "least_of_new", kOptional, measurement.p_least_of_new,
               "Where no least is known: the share of `new` that is taken for it.", book_.words.how_often);
    ReadChance(fields, "per_degree", kOptional, measurement.p_per_degree,
               "By which share of its value at 20 °C it grows with every degree; a reading may then say its "
               "`temperature`.",
               book_.words.how_often);
    ReadAmount(fields, "spread", kOptional, reads, measurement.spread,
               "The standard deviation of such parts; from the limits when left out.");
    const auto pattern = [&](const char* key, bool finding, std::optional<Pattern>& to, const char* help) {
      const YamlNode* node = fields.Value(key, kOptional, "statement", help);
      if (node == nullptr) return;
      to = ReadPattern(*node, finding, false, variables, context_);
      if (to) CheckPattern(*to, finding, measurement.fact, bound);
    };
    pattern("too_small", true, measurement.too_small, "The finding that it is below the least.");
    pattern("too_large", true, measurement.too_large, "The finding that it is above the most.");
    pattern("within", false, measurement.within, "The fact that it is clear of every limit.");
    pattern("as_new", false, measurement.as_new, "The fact that it cannot be told from `new`.");
    measurement.trust = book_.words.trusts.front().name;
    fields.Name("trust", kOptional, measurement.trust, "How many of its readings are mistaken.");
    fields.Text("because", kNeeded, measurement.because, "What the limits are there for, a sentence.");
    fields.Done();
    RequireKnown(measurement.trust, NamesOf(book_.words.trusts), "trust", fields.PlaceOf("trust"),
                 diagnostics_);
    CheckInstruments(fields, measurement, reads);
    if (word != nullptr) CheckLimits(fields, measurement, *word, reads);
    if (measurement.spread && *measurement.spread <= 0)
      diagnostics_.Error(fields.PlaceOf("spread"), "bad-spread", "such parts differ; `spread` is above zero");
    const auto [it, is_new] = book_.measurements.emplace(entry.key, measurement);
    if (!is_new) ReportTwice(entry.key, entry.key_place, it->second.place, diagnostics_);
  }

 private:
  // Its variables are slots of the fact, and what lies beyond a limit is a finding.
  void CheckPattern(const Pattern& pattern, bool finding, const std::string& fact,
                    const std::set<std::string>& slots) {
    const Word& word = *book_.words.Find(pattern.name);
    if (finding && word.type != WordType::kFinding) {
      diagnostics_
          .Error(
              pattern.place, "not-a-finding",
              fmt::format("`{}` is a {}; a reading shows a finding", pattern.name, WordTypeName(word.type)))
          .notes.push_back({word.place, fmt::format("`{}` is described here", pattern.name)});
    }
    for (const Term& term : pattern.terms) {
      const Variable* variable = std::get_if<Variable>(&term);
      if (variable == nullptr || slots.contains(variable->name)) continue;
      diagnostics_.Error(
          pattern.place, "unbound-variable",
          fmt::format("`{}` has no slot `{}`{}; variables are here its own slots", fact, variable->name,
                      Hint(variable->name, std::vector<std::string>(slots.begin(), slots.end()))));
    }
  }

  // The fact that it gives a number for, or null after reporting that it is none.
  const Word* FindFact(const YamlEntry& entry) {
    const Word* word = book_.words.Find(entry.key);
    if (word == nullptr || word->IsEvent()) {
      std::vector<std::string> facts;
      for (const auto& [name, one] : book_.words.words) {
        if (!one.IsEvent()) facts.push_back(name);
      }
      diagnostics_.Error(entry.key_place, "unknown-statement",
                         fmt::format("there is no fact called `{}`{}", entry.key, Hint(entry.key, facts, 0)));
      return nullptr;
    }
    const auto quantities = std::count_if(word->slots.begin(), word->slots.end(),
                                          [](const Slot& slot) { return slot.dimension.has_value(); });
    const int is = word->SlotIndex("is");
    if (quantities == 1 && is >= 0 && word->slots[static_cast<std::size_t>(is)].dimension) return word;
    diagnostics_
        .Error(
            entry.key_place, "not-measurable",
            fmt::format("a measurement gives one number; `{}` needs one quantity, its slot `is`", entry.key))
        .notes.push_back({word->place, fmt::format("`{}` is described here", entry.key)});
    return nullptr;
  }

  void CheckInstruments(Fields& fields, const Measurement& measurement, Dimension reads) {
    if (measurement.with.empty()) {
      diagnostics_.Error(fields.PlaceOf("with"), "missing-key",
                         fmt::format("`{}` needs `with`: what is it measured with?", measurement.fact));
    }
    for (const std::string& name : measurement.with) {
      if (!RequireKnown(name, NamesOf(book_.instruments), "instrument", fields.PlaceOf("with"), diagnostics_))
        continue;
      const Instrument& instrument = book_.instruments.at(name);
      if (instrument.reads == reads) continue;
      diagnostics_
          .Error(fields.PlaceOf("with"), "wrong-instrument",
                 fmt::format("`{}` reads a {}, and `{}` is a {}", name, DimensionName(instrument.reads),
                             measurement.fact, DimensionName(reads)))
          .notes.push_back({instrument.place, fmt::format("`{}` is described here", name)});
    }
  }

  // A limit is a fact with quantities `least`, `most` or `new` of the same sort, and of its other slots each
  // is one of what is measured.
  void CheckLimits(Fields& fields, const Measurement& measurement, const Word& word, Dimension reads) {
    for (const std::string& name : measurement.limits) {
      const Word* limit = book_.words.Find(name);
      const auto bad = [&](const std::string& why) {
        auto& error = diagnostics_.Error(fields.PlaceOf("limits"), "bad-limit", why);
        if (limit != nullptr)
          error.notes.push_back({limit->place, fmt::format("`{}` is described here", name)});
      };
      if (limit == nullptr || limit->IsEvent()) {
        bad(fmt::format("there is no fact called `{}`", name));
        continue;
      }
      bool says = false;
      for (const Slot& slot : limit->slots) {
        if (slot.name == "least" || slot.name == "most" || slot.name == "new") {
          says = true;
          if (slot.dimension != reads)
            bad(fmt::format("`{}` of `{}` is no {}, as `{}` is", slot.name, name, DimensionName(reads),
                            measurement.fact));
          continue;
        }
        const int own = word.SlotIndex(slot.name);
        if (own < 0 || word.slots[static_cast<std::size_t>(own)].kind != slot.kind)
          bad(fmt::format("`{}` has a slot `{}`, which `{}` has not", name, slot.name, measurement.fact));
      }
      if (!says) bad(fmt::format("`{}` has no quantity `least`, `most` or `new`", name));
    }
  }

  Rulebook& book_;
  Diagnostics& diagnostics_;
  StatementContext context_;
};

}  // namespace

void LoadInstruments(Fields& file, Rulebook& book, Diagnostics& diagnostics) {
  for (auto& [entry, fields] : file.Named("instruments", kOptional, "instrument",
                                          "What things are measured with, and how far each can be wrong.")) {
    const int errors_before = diagnostics.error_count();
    Instrument instrument = NamedBy<Instrument>(entry);
    std::string reads;
    fields.Text("says", kNeeded, instrument.says, "How it is spoken of: \"a caliper\".");
    fields.Name("reads", kNeeded, reads, "The quantity that it reads: length, pressure.");
    const auto dimension = DimensionNamed(reads);
    if (!reads.empty() && !dimension)
      diagnostics.Error(fields.PlaceOf("reads"), "unknown-quantity",
                        fmt::format("there is no quantity called `{}`", reads));
    instrument.reads = dimension.value_or(Dimension::kNumber);
    const auto amount = [&, &fields = fields](const char* key, double& to, const char* help) {
      if (dimension) return ReadAmount(fields, key, kNeeded, *dimension, to, help);
      fields.Value(key, kNeeded, "quantity", help);  // of what, nobody knows
    };
    amount("step", instrument.step, "The step of its scale.");
    amount("repeats", instrument.repeats, "The standard deviation of careful readings of one thing.");
    amount("bias", instrument.bias,
           "The standard deviation of what all its readings have in common, which repeating does not cure.");
    fields.Done();
    if (diagnostics.error_count() == errors_before &&
        instrument.step + instrument.repeats + instrument.bias <= 0)
      diagnostics.Error(instrument.place, "bad-instrument", "no instrument is without any doubt");
    if (!IsName(instrument.name)) {
      diagnostics.Error(instrument.place, "not-a-name",
                        fmt::format("`{}` is no name for an instrument", instrument.name));
      continue;
    }
    const auto [it, is_new] = book.instruments.emplace(instrument.name, instrument);
    if (!is_new) ReportTwice(instrument.name, instrument.place, it->second.place, diagnostics);
  }
}

void LoadMeasurements(Fields& file, Rulebook& book, Diagnostics& diagnostics) {
  MeasurementLoader loader(book, diagnostics);
  for (auto& [entry, fields] :
       file.Named("measurements", kOptional, "measurement",
                  "What can be measured, with what, and what lies beyond its limits."))
    loader.Load(entry, fields);
}

}  // namespace gearwhy
