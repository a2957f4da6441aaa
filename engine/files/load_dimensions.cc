#include "engine/files/load_dimensions.h"

#include <fmt/format.h>

#include "engine/files/of_unit.h"
#include "engine/files/read_value.h"

namespace gearwhy {
namespace {

using enum Presence;
using enum Dimension;

// What no unit passes, by much.
constexpr QuantityRange kRadiusRange = {0, 500};     // mm
constexpr QuantityRange kFrictionRange = {0.01, 1};  // coefficient
constexpr QuantityRange kWrapRange = {0.05, 2};      // turns
constexpr QuantityRange kLeverRange = {0.1, 20};     // force / force
constexpr QuantityRange kSpringRange = {0, 50'000};  // N
constexpr QuantityRange kTorqueRange = {0, 20'000};  // N m
constexpr QuantityRange kConverterRange = {1, 5};    // torque / torque

class Loader {
 public:
  Loader(Unit& unit, Diagnostics& diagnostics) : unit_(unit), diagnostics_(diagnostics) {}

  void Load(const YamlEntry& entry, Fields& fields) {
    const int errors_before = diagnostics_.error_count();
    Dimensions of;
    of.element = entry.key;
    of.place = entry.key_place;
    const bool known =
        RequireKnown(entry.key, NamesOf(unit_.elements), "element", entry.key_place, diagnostics_);
    std::string lined;
    fields.Name("lined", kOptional, lined, "A pack: the part whose count is that of its lined plates.");
    if (!lined.empty()) of.lined = ReadPartOf(entry.key, lined, unit_, fields.PlaceOf("lined"), diagnostics_);
    Read(fields, "outer_radius", kLength, kRadiusRange, of.outer_radius, "A pack: outside of the lining.");
    Read(fields, "inner_radius", kLength, kRadiusRange, of.inner_radius, "A pack: inside of the lining.");
    Read(fields, "radius", kLength, kRadiusRange, of.radius, "A band: of its drum.");
    Read(fields, "wrap", kNumber, kWrapRange, of.wrap, "A band: the share of a turn that its lining covers.");
    Read(fields, "lever", kNumber, kLeverRange, of.lever,
         "A band: what its lever makes of the servo's force; 1 when left out.");
    fields.OneOf<bool>(
        "energised_by", kOptional, {false, true},
        [](bool by_overdrive) { return std::string_view(by_overdrive ? "overdrive" : "drive"); },
        of.energised_by_overdrive,
        "A band: where its drum pulls it tighter, in ranges of more than one turn of the input a turn of the "
        "output, or in overdrive; `drive` when left out.");
    Read(fields, "friction", kNumber, kFrictionRange, of.friction, "Of the lining in fluid.");
    Read(fields, "piston_outer", kLength, kRadiusRange, of.piston_outer,
         "Outside of the piston or servo, a radius.");
    Read(fields, "piston_inner", kLength, kRadiusRange, of.piston_inner,
         "Its inside, or its rod; 0 when left out.");
    Read(fields, "spring", kForce, kSpringRange, of.spring, "The spring that presses it back.");
    fields.Name(
        "drum", kOptional, of.drum,
        "A clutch: the one of its two members that its piston turns with; what the fluid that spins there "
        "adds is then reckoned.");
    Read(fields, "fluid_from", kLength, kRadiusRange, of.fluid_from,
         "The radius from which that fluid stands; with `drum`.");
    Read(fields, "rating", kTorque, kTorqueRange, of.rating, "A one-way clutch: the torque that it holds.");
    if (known) Require(fields, unit_.FindElement(entry.key)->type);
    if (known) RequireDrum(fields, *unit_.FindElement(entry.key), of);
    fields.Done();
    RequireInside(fields, "inner_radius", of.inner_radius, "outer_radius", of.outer_radius);
    RequireInside(fields, "piston_inner", of.piston_inner, "piston_outer", of.piston_outer);
    if (diagnostics_.error_count() == errors_before) unit_.dimensions.push_back(std::move(of));
  }

 private:
  static void Read(Fields& fields, const char* key, Dimension dimension, const QuantityRange& range,
                   double& to, const char* help) {
    ReadUnder(fields, key, kOptional, dimension, range, to, help);
  }

  // What an element of this kind needs.
  void Require(const Fields& fields, ElementType type) {
    std::vector<const char*> needed;
    switch (type) {
      case ElementType::kClutch:
      case ElementType::kBrake:
        needed = {"lined", "outer_radius", "inner_radius", "friction", "piston_outer"};
        break;
      case ElementType::kBand:
        needed = {"radius", "wrap", "friction", "piston_outer"};
        break;
      case ElementType::kOneWayClutch:
        needed = {"rating"};
        break;
    }
    for (const char* key : needed) {
      if (fields.Has(key)) continue;
      diagnostics_.Error(fields.place(), "missing-dimension",
                         fmt::format("the dimensions of a {} need `{}`", ElementTypeName(type), key));
    }
  }

  // Both or neither, of a clutch, with the speed that the engine's torque is given at.
  void RequireDrum(const Fields& fields, const Element& element, const Dimensions& of) {
    if (!fields.Has("drum") && !fields.Has("fluid_from")) return;
    const Place place = fields.PlaceOf(fields.Has("drum") ? "drum" : "fluid_from");
    if (element.type != ElementType::kClutch) {
      diagnostics_.Error(place, "drum-of-none", "only the piston of a clutch turns");
    } else if (!fields.Has("drum") || !fields.Has("fluid_from")) {
      diagnostics_.Error(place, "missing-dimension", "what spins needs both `drum` and `fluid_from`");
    } else if (of.drum != element.first && of.drum != element.second) {
      diagnostics_.Error(
          place, "drum-of-none",
          fmt::format("the members of {} are `{}` and `{}`", element.name, element.first, element.second));
    } else if (unit_.torque_at_rpm <= 0) {
      diagnostics_.Error(
          place, "missing-dimension",
          "what spins needs `engine_torque_at`, the speed at which the engine gives its torque");
    }
  }

  void RequireInside(const Fields& fields, const char* inner, double inside, const char* outer,
                     double outside) {
    if (!fields.Has(inner) || !fields.Has(outer) || inside < outside) return;
    diagnostics_.Error(fields.PlaceOf(inner), "inside-out",
                       fmt::format("`{}` lies inside `{}`", inner, outer));
  }

  Unit& unit_;
  Diagnostics& diagnostics_;
};

}  // namespace

void LoadDimensions(Fields& file, Unit& unit, Diagnostics& diagnostics) {
  if (const YamlNode* torque = file.Value("engine_torque", kOptional, "quantity|quantities",
                                          "The most that the engine gives; one, or one a variant."))
    ReadByVariant(*torque, "engine_torque", kTorque, kTorqueRange, unit, unit.engine_torque, diagnostics);
  ReadUnder(file, "converter_ratio", kOptional, kNumber, kConverterRange, unit.converter_ratio,
            "What the converter makes of it while the turbine stands.");
  ReadUnder(file, "engine_torque_at", kOptional, kSpeed, RangeOf(kSpeed), unit.torque_at_rpm,
            "The speed at which the engine gives it.");
  Loader loader(unit, diagnostics);
  for (auto& [entry, fields] : file.Named("dimensions", kOptional, "dimensions",
                                          "What decides how much torque each element carries, by element."))
    loader.Load(entry, fields);
}

}  // namespace gearwhy
