#include "engine/files/load_choices.h"

#include <fmt/format.h>

#include "engine/files/of_unit.h"
#include "engine/files/read_value.h"
#include "engine/text/at.h"
#include "engine/text/near_names.h"

namespace gearwhy {
namespace {

using enum Presence;

constexpr QuantityRange kSizeRange = {0, 500};     // mm; what no washer and no pin passes, by much
constexpr QuantityRange kPitchRange = {0.1, 5};    // mm
constexpr QuantityRange kLeverRange = {0.05, 20};  // length / length

class Loader {
 public:
  Loader(Unit& unit, const Words& words, Diagnostics& diagnostics)
      : unit_(unit), words_(words), diagnostics_(diagnostics) {}

  void Load(const YamlEntry& entry, Fields& fields) {
    const int errors_before = diagnostics_.error_count();
    Choice choice;
    choice.part = entry.key;
    choice.place = entry.key_place;
    std::vector<std::string> ids;
    for (const Part& part : unit_.parts) ids.push_back(part.id);
    const bool known = RequireKnown(entry.key, ids, "part", entry.key_place, diagnostics_);
    fields.Name("sets", kNeeded, choice.sets,
                "The measured fact that it sets: `end_play`, `band_clearance`.");
    ReadSizes(
        fields.List("sizes", kOptional, "quantity", "What is chosen by its thickness: the sizes, ascending."),
        choice.sizes, diagnostics_);
    ReadUnder(fields, "tolerance", kOptional, Dimension::kLength, kSizeRange, choice.tolerance,
              "By how much a size may differ, either way.");
    fields.OneOf<bool>(
        "thicker_makes", kOptional, {false, true},
        [](bool looser) { return std::string_view(looser ? "looser" : "tighter"); }, choice.looser,
        "What a thicker one makes of the clearance; `tighter` when left out.");
    double lever = 1;
    ReadUnder(fields, "pitch", kOptional, Dimension::kLength, kPitchRange, choice.per_turn,
              "A screw: how far a turn moves it.");
    ReadUnder(fields, "lever", kOptional, Dimension::kNumber, kLeverRange, lever,
              "A screw: how far that moves where the clearance is measured, for each mm; 1 when left out.");
    choice.per_turn *= lever;
    fields.Done();
    if (known && !choice.sets.empty()) CheckFact(fields, *unit_.FindPart(choice.part), choice.sets);
    if (fields.Has("sizes") == fields.Has("pitch")) {
      diagnostics_.Error(entry.key_place, "sizes-or-pitch",
                         "say either `sizes`, of which one is chosen, or the `pitch` of a screw");
    }
    if (diagnostics_.error_count() == errors_before) unit_.choices.push_back(std::move(choice));
  }

 private:
  // A length, and of an element only where the part is one of an element.
  void CheckFact(const Fields& fields, const Part& part, const std::string& name) {
    const Place place = fields.PlaceOf("sets");
    const Word* word = words_.Find(name);
    const int is = word == nullptr ? -1 : word->SlotIndex("is");
    if (word == nullptr || word->IsEvent() || is < 0 || word->slots[At(is)].dimension != Dimension::kLength) {
      auto& error = diagnostics_.Error(place, "not-a-clearance",
                                       fmt::format("`{}` is no fact that gives a length", name));
      if (word != nullptr) error.notes.push_back({word->place, fmt::format("`{}` is described here", name)});
    } else if (word->SlotIndex("element") >= 0 && part.element.empty()) {
      diagnostics_.Error(
          place, "not-a-clearance",
          fmt::format("`{}` is measured of an element, and `{}` belongs to none", name, part.id));
    }
  }

  Unit& unit_;
  const Words& words_;
  Diagnostics& diagnostics_;
};

}  // namespace

void LoadChoices(Fields& file, Unit& unit, const Words& words, Diagnostics& diagnostics) {
  Loader loader(unit, words, diagnostics);
  for (auto& [entry, fields] :
       file.Named("choices", kOptional, "choice",
                  "What sets a clearance that is no pack's, by part: washers and pins by size, screws."))
    loader.Load(entry, fields);
}

}  // namespace gearwhy
