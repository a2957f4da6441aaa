// Unit: one transmission family. Its gear arrangement, elements, apply chart, parts and variants.
//
// In: one file of rules/units/. Out: immutable, validated for form; whether the arrangement works as a
// transmission is the drivetrain's to say (drivetrain/unit_check.h).
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "engine/model/layers.h"
#include "engine/model/statement.h"
#include "engine/model/words.h"
#include "engine/text/near_names.h"

namespace gearwhy {

// A planetary gearset by tooth counts. Members, in this order:
//   simple, dual_pinion: sun, ring, carrier
//   ravigneaux:          small_sun, large_sun, ring, carrier. The large sun and the ring mesh with the long
//                        pinions, the small sun with the short pinions, which mesh with the long ones.
struct Gearset {
  enum class Type { kSimple, kDualPinion, kRavigneaux };
  std::string name;
  Type type = Type::kSimple;
  int sun_teeth = 0;        // ravigneaux: the small sun
  int large_sun_teeth = 0;  // ravigneaux only
  int ring_teeth = 0;
  Place place;
  // The planets are not of the plain size between sun and ring, and that is known.
  bool profile_shift = false;
};
// Member names of a gearset of this type, in order: {"sun", "ring", "carrier"}.
std::vector<std::string> MemberNames(Gearset::Type type);

// A shaft: members that turn as one. Named "front.ring", or "input", "output", "case" for the ends.
using MemberName = std::string;

enum class ElementType { kClutch, kBrake, kBand, kOneWayClutch };
std::string_view ElementTypeName(ElementType type);  // "clutch", "brake", "band", "one_way_clutch"

struct Part {
  std::string id;       // "E.piston"; parts of no element: "pump"
  std::string kind;     // "moulded_piston"
  std::string says;     // "the piston of brake E"
  std::string element;  // empty for parts of no element
  // By variant; one entry under "" when all variants agree; empty: not counted.
  std::map<std::string, int> count;
  std::vector<std::string> variants;  // only in these; empty: in all
  Place place;

  std::optional<int> CountIn(const std::string& variant) const;
};

// A number that is said by variant, or under "" for all; nothing where it is not said.
template <typename Number>
std::optional<Number> ByVariant(const std::map<std::string, Number>& said, const std::string& variant) {
  const auto it = said.find(said.contains(variant) ? variant : "");
  return it == said.end() ? std::nullopt : std::optional(it->second);
}

// A friction element or one-way clutch between two members, one of which may be the case. A one-way clutch
// lets `first` turn forward (in the input's sense) relative to `second`, and holds it when it would turn
// backward.
struct Element {
  std::string name;
  std::string says;
  ElementType type = ElementType::kClutch;
  MemberName first;
  MemberName second;  // "case" for brakes and bands
  Place place;
};

struct Range {
  std::string name;  // "D1", "R"
  std::string says;  // "first", "reverse"
  // Friction elements; one-way clutches hold by themselves and are not listed.
  std::vector<std::string> applied;
  std::optional<double> stated_ratio;  // as the file states it; negative for reverse
  bool neutral = false;                // neutral by design: the output must not be driven
  Place place;
};

struct Shift {
  std::string from, to;
  Place place;
};

// A pack as it is stacked: how deep its drum or the case is from the piston at rest to the far side of the
// ring's groove, what lies in it, and the rings at hand. All in mm.
struct Stack {
  struct Plates {
    std::string part;  // an id; how many there are, its count says
    double each = 0;   // nominal thickness; of a cushion plate its height when it is pressed flat
    double tolerance = 0;
  };
  std::string element;
  std::map<std::string, double> depth;  // by variant; one entry under "" when all agree
  double tolerance = 0;                 // of the depth
  std::vector<Plates> plates;
  std::string ring;           // the selective part, an id
  std::vector<double> sizes;  // of the rings at hand, ascending
  double ring_tolerance = 0;
  Place place;
};

// What decides how much torque an element carries. Lengths in mm.
struct Dimensions {
  std::string element;
  // A clutch or brake: the part whose count is that of its lined plates, the lining and the piston.
  std::string lined;
  double outer_radius = 0, inner_radius = 0;
  // A band: its drum, the share of a turn that the lining covers, what its lever makes of the servo's force,
  // and whether the drum pulls it tighter where it is kept from turning with the input (an overdrive), or
  // where it is kept from turning against it.
  double radius = 0, wrap = 0, lever = 1;
  bool energised_by_overdrive = false;
  // Both of these: friction, piston or servo, and the spring that presses it back, in N.
  double friction = 0;
  double piston_outer = 0, piston_inner = 0, spring = 0;
  double rating = 0;  // a one-way clutch: what it holds, N m
  // A clutch whose piston turns: the member that it turns with, and the radius from which its fluid stands.
  // Empty: what spins is not reckoned.
  MemberName drum;
  double fluid_from = 0;
  Place place;
};

// What sets a clearance that is no pack's: a washer or pin that is chosen by its thickness, or a screw.
struct Choice {
  std::string part;           // an id
  std::string sets;           // the measured fact; a slot `element` of it is the element of the part
  std::vector<double> sizes;  // of those at hand, ascending, mm; none: it is a screw
  double tolerance = 0;       // of a size
  bool looser = false;        // a thicker one makes the clearance larger
  double per_turn = 0;        // a screw: by how much a turn inward makes the clearance smaller, mm
  Place place;
};

// What a unit of the family may be: a variant, a version, or, where a unit has both, one of each.
struct Variant {
  std::string name;  // "heavy", "late", "heavy-late"
  std::string says;
  std::vector<Statement> facts;    // true of this variant only
  std::vector<Place> fact_places;  // one for each of `facts`
  Place place;
  std::optional<double> p_chance = {};     // that a unit of this family is this one; where stated
  std::string variant = {}, version = {};  // where the unit has versions: the two names; either may be empty
  std::string variant_says = {};           // there: of the variant alone

  // Whether it is one that is called so; an empty name is any.
  bool Is(const std::string& as_variant, const std::string& as_version) const {
    return (as_variant.empty() || as_variant == name || as_variant == variant) &&
           (as_version.empty() || as_version == version);
  }
};

struct Unit {
  std::string name;
  std::string says;
  std::vector<Gearset> gearsets;
  // Each a list of members that turn as one; may name "input", "output", "case".
  std::vector<std::vector<MemberName>> joins;
  std::vector<Element> elements;
  std::vector<Range> ranges;  // in the order of the file
  std::vector<Shift> shifts;  // up and down
  std::vector<Part> parts;
  std::vector<Stack> stacks;
  std::vector<Dimensions> dimensions;
  std::vector<Choice> choices;
  // The most torque that the engine gives, N m, by variant, one entry under "" when all agree; and what the
  // converter makes of it while the turbine stands. Empty and 1: not said.
  std::map<std::string, double> engine_torque;
  double converter_ratio = 1;
  double torque_at_rpm = 0;       // the speed at which the engine gives it; 0: not said
  std::vector<Variant> variants;  // where there are versions, each with each
  // Where there are versions: variants and versions by themselves, as the file lists them. Else both empty.
  std::vector<Variant> plain_variants, versions;
  std::vector<Statement> facts;    // given by the file, true of every variant
  std::vector<Place> fact_places;  // one for each of `facts`
  Place place;
  std::vector<LayerChange> changes;  // what layers above changed in its file

  const Element* FindElement(std::string_view name) const;
  const Range* FindRange(std::string_view name) const;
  const Variant* FindVariant(std::string_view name) const;
  const Part* FindPart(std::string_view id) const;
};

// The chance of each variant before anything is known: as stated, and what the stated ones leave in equal
// parts for the others. They add up to 1.
std::vector<double> ChancesOfVariants(const Unit& unit);

// The names a unit offers for the open kinds `element`, `range`, `part`, `part_kind`, `variant` and
// `version`; by kind, each with its spoken form, or none.
using KindMembers = std::map<std::string, std::map<std::string, std::string>>;
KindMembers MembersOf(const Unit& unit);
// The names there are of a kind: those of the words, or of the unit. Nothing where nobody lists them.
std::optional<std::vector<SpokenName>> NamesOfKind(const Kind& kind, const KindMembers* members);

}  // namespace gearwhy
