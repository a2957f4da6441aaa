#include "engine/files/load_stack.h"

#include <fmt/format.h>

#include "engine/files/of_unit.h"
#include "engine/files/read_value.h"
#include "engine/model/quantity.h"
#include "engine/text/near_names.h"

namespace gearwhy {
namespace {

using enum Presence;

constexpr double kDeepest = 500;  // mm; deeper than any drum

void ReadLength(Fields& fields, const char* key, Presence presence, double& to, const char* help) {
  ReadUnder(fields, key, presence, Dimension::kLength, {0, kDeepest}, to, help);
}

}  // namespace

void LoadStack(const YamlEntry& entry, Fields& fields, Unit& unit, Diagnostics& diagnostics) {
  const int errors_before = diagnostics.error_count();
  Stack stack;
  stack.element = entry.key;
  stack.place = entry.key_place;
  RequireKnown(entry.key, NamesOf(unit.elements), "element", entry.key_place, diagnostics);
  if (const YamlNode* depth = fields.Value(
          "depth", kNeeded, "quantity|quantities",
          "From the piston at rest to the far side of the ring's groove; one, or one a variant."))
    ReadByVariant(*depth, "depth", Dimension::kLength, {0, kDeepest}, unit, stack.depth, diagnostics);
  ReadLength(fields, "tolerance", kNeeded, stack.tolerance, "By how much the depth may differ, either way.");
  for (auto& [plate, plates] :
       fields.Named("plates", kNeeded, "plates", "What lies in the pack, by the names of its parts.")) {
    Stack::Plates one;
    one.part = ReadPartOf(entry.key, plate.key, unit, plate.key_place, diagnostics);
    ReadLength(plates, "each", kNeeded, one.each,
               "How thick each is; a cushion plate, how high it is when it is pressed flat.");
    ReadLength(plates, "tolerance", kNeeded, one.tolerance, "By how much each may differ, either way.");
    plates.Done();
    stack.plates.push_back(std::move(one));
  }
  std::string ring;
  fields.Name("ring", kNeeded, ring, "The part that is chosen by its thickness.");
  if (!ring.empty()) stack.ring = ReadPartOf(entry.key, ring, unit, fields.PlaceOf("ring"), diagnostics);
  ReadSizes(fields.List("sizes", kNeeded, "quantity", "The thicknesses that there are, ascending."),
            stack.sizes, diagnostics);
  if (stack.sizes.empty())
    diagnostics.Error(fields.PlaceOf("sizes"), "no-sizes",
                      "`sizes` lists the rings that there are, at least one");
  ReadLength(fields, "ring_tolerance", kNeeded, stack.ring_tolerance,
             "By how much a ring may differ, either way.");
  fields.Done();
  if (diagnostics.error_count() == errors_before) unit.stacks.push_back(std::move(stack));
}

}  // namespace gearwhy
