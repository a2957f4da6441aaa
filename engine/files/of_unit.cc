#include "engine/files/of_unit.h"

#include <fmt/format.h>

#include "engine/files/read_value.h"
#include "engine/text/near_names.h"

namespace gearwhy {

void ReadUnder(Fields& fields, const char* key, Presence presence, Dimension dimension,
               const QuantityRange& range, double& to, const char* help) {
  const YamlNode* node = fields.Value(key, presence, "quantity", help);
  if (node == nullptr) return;
  const std::string what = fmt::format("`{}`", key);
  if (const auto number = ReadQuantity(*node, what, what + ": ", dimension, range, fields.diagnostics()))
    to = *number;
}

void ReadByVariant(const YamlNode& node, const char* key, Dimension dimension, const QuantityRange& range,
                   const Unit& unit, std::map<std::string, double>& to, Diagnostics& diagnostics) {
  const std::string what = fmt::format("`{}`", key);
  const auto read = [&](const YamlNode& value, const std::string& variant) {
    if (const auto number = ReadQuantity(value, what, what + ": ", dimension, range, diagnostics))
      to[variant] = *number;
  };
  if (!node.IsMap()) return read(node, "");
  const std::vector<std::string> variants = NamesOf(unit.variants);
  for (const YamlEntry& entry : node.entries) {
    if (RequireKnown(entry.key, variants, "variant", entry.key_place, diagnostics))
      read(entry.value, entry.key);
  }
  for (const std::string& variant : variants) {
    if (node.Find(variant) == nullptr)
      diagnostics.Error(node.place, "missing-variant",
                        fmt::format("{} is not said for the variant `{}`", what, variant));
  }
}

void ReadSizes(const std::vector<YamlNode>& nodes, std::vector<double>& to, Diagnostics& diagnostics) {
  constexpr double kLargest = 500;  // mm; larger than any
  for (const YamlNode& node : nodes) {
    const double size =
        ReadQuantity(node, "a size", "a size: ", Dimension::kLength, {0, kLargest}, diagnostics).value_or(0);
    if (!to.empty() && size > 0 && size <= to.back()) {
      diagnostics.Error(
          node.place, "not-ascending",
          fmt::format("{} stands behind {}; sizes ascend, each once", ShowQuantity(size, Dimension::kLength),
                      ShowQuantity(to.back(), Dimension::kLength)));
    }
    to.push_back(size);
  }
}

std::string ReadPartOf(const std::string& element, const std::string& name, const Unit& unit,
                       const Place& place, Diagnostics& diagnostics) {
  std::vector<std::string> names;
  for (const Part& part : unit.parts) {
    if (part.element == element) names.push_back(part.id.substr(element.size() + 1));
  }
  return RequireKnown(name, names, "part", place, diagnostics) ? element + "." + name : "";
}

}  // namespace gearwhy
