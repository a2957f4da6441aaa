#include "engine/model/unit.h"

#include <algorithm>

namespace gearwhy {
namespace {

template <typename Named>
const Named* FindByName(const std::vector<Named>& all, std::string_view name) {
  for (const Named& one : all)
    if (one.name == name) return &one;
  return nullptr;
}

}  // namespace

std::vector<std::string> MemberNames(Gearset::Type type) {
  if (type == Gearset::Type::kRavigneaux) return {"small_sun", "large_sun", "ring", "carrier"};
  return {"sun", "ring", "carrier"};
}

std::string_view ElementTypeName(ElementType type) {
  switch (type) {
    case ElementType::kClutch:
      return "clutch";
    case ElementType::kBrake:
      return "brake";
    case ElementType::kBand:
      return "band";
    case ElementType::kOneWayClutch:
      return "one_way_clutch";
  }
  return "";
}

std::optional<int> Part::CountIn(const std::string& variant) const { return ByVariant(count, variant); }

const Element* Unit::FindElement(std::string_view name) const { return FindByName(elements, name); }
const Range* Unit::FindRange(std::string_view name) const { return FindByName(ranges, name); }

const Part* Unit::FindPart(std::string_view id) const {
  const auto it = std::find_if(parts.begin(), parts.end(), [&](const Part& part) { return part.id == id; });
  return it == parts.end() ? nullptr : &*it;
}

const Variant* Unit::FindVariant(std::string_view name) const { return FindByName(variants, name); }

std::vector<double> ChancesOfVariants(const Unit& unit) {
  double stated = 0;
  int open = 0;
  for (const Variant& variant : unit.variants) {
    stated += variant.p_chance.value_or(0);
    if (!variant.p_chance) ++open;
  }
  const double left = std::max(0.0, 1 - stated);
  // Where all are stated they add up to 1 but for rounding.
  const double whole = open > 0 ? std::max(1.0, stated) : stated;
  std::vector<double> chances;
  for (const Variant& variant : unit.variants)
    chances.push_back(variant.p_chance ? *variant.p_chance / whole : left / open);
  return chances;
}

KindMembers MembersOf(const Unit& unit) {
  KindMembers members;
  for (const char* kind : {"element", "range", "part", "part_kind", "variant", "version"}) members[kind];
  for (const Element& element : unit.elements) members["element"].emplace(element.name, element.says);
  for (const Range& range : unit.ranges) members["range"].emplace(range.name, range.says);
  for (const Variant& variant : unit.variants) {
    const std::string& name = variant.version.empty() ? variant.name : variant.variant;
    if (!name.empty()) members["variant"].emplace(name, variant.version.empty() ? variant.says : "");
  }
  for (const Variant& version : unit.versions) members["version"].emplace(version.name, version.says);
  for (const Part& part : unit.parts) {
    members["part"].emplace(part.id, part.says);
    members["part_kind"].emplace(part.kind, "");
  }
  return members;
}

std::optional<std::vector<SpokenName>> NamesOfKind(const Kind& kind, const KindMembers* members) {
  std::vector<SpokenName> names;
  if (kind.open) {
    if (members == nullptr || !members->contains(kind.name)) return std::nullopt;
    const auto& of_unit = members->find(kind.name)->second;
    names.assign(of_unit.begin(), of_unit.end());
    return names;
  }
  for (const std::string& name : kind.values) {
    const auto says = kind.says.find(name);
    names.emplace_back(name, says == kind.says.end() ? "" : says->second);
  }
  return names;
}

}  // namespace gearwhy
