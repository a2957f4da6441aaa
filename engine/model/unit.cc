#include "engine/model/unit.h"

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

const Element* Unit::FindElement(std::string_view name) const { return FindByName(elements, name); }
const Range* Unit::FindRange(std::string_view name) const { return FindByName(ranges, name); }
const Variant* Unit::FindVariant(std::string_view name) const { return FindByName(variants, name); }

}  // namespace gearwhy
