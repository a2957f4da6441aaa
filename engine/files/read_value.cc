#include "engine/files/read_value.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/model/quantity.h"
#include "engine/text/near_names.h"
#include "engine/text/number.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
std::optional<double> ReadChance(const YamlNode& node, const Scale& how_often, Diagnostics& diagnostics) {
  if (!node.IsScalar()) {
    diagnostics.Error(node.place, "bad-chance", "a chance is a single value: `usually`, `12%` or `3 in 10`");
    return std::nullopt;
  }
  const std::string& text = node.text;
  if (const auto it = how_often.find(text); it != how_often.end()) return it->second;
  std::string why;
  std::optional<double> chance;
  if (const std::size_t in = text.find(" in "); in != std::string::npos) {
    const auto part = ParseNumber(text.substr(0, in), &why);
    const auto whole = ParseNumber(text.substr(in + 4), &why);
    if (part && whole && *whole > 0) chance = *part / *whole;
  } else if (const auto number = ParseQuantity(text, Dimension::kNumber, &why)) {
    chance = *number;
  }
  if (!chance) {
    const std::size_t comma = text.find(',');
    const std::string with_point =
        comma == std::string::npos ? text : std::string(text).replace(comma, 1, ".");
    const bool comma_meant =
        comma != std::string::npos && ParseQuantity(with_point, Dimension::kNumber, &why);
    diagnostics.Error(
        node.place, "bad-chance",
        fmt::format("`{}` is no chance{}; write {}a word of the scale, `12%` or `3 in 10`", text,
                    Hint(text, NamesOf(how_often), 0), comma_meant ? "`" + with_point + "`, " : ""));
    return std::nullopt;
  }
  if (!(*chance >= 0 && *chance <= 1)) {
    const bool percent_meant = *chance > 1 && *chance <= 100 && text.find_first_of("% ") == std::string::npos;
    diagnostics.Error(node.place, "chance-outside",
                      fmt::format("the chance `{}` lies outside 0% to 100%{}", text,
                                  percent_meant ? fmt::format("; did you mean `{}%`?", text) : ""));
    return std::nullopt;
  }
  return chance;
}

std::optional<double> ReadQuantity(const YamlNode& node, const std::string& what, const std::string& lead,
                                   Dimension dimension, const QuantityRange& range,
                                   Diagnostics& diagnostics) {
  std::string text, why;
  if (!ReadText(node, what, diagnostics, &text)) return std::nullopt;
  const auto number = ParseQuantity(text, dimension, &why);
  const auto outside = number ? WhyOutside(*number, text, dimension, range) : std::optional(why);
  if (!outside) return number;
  diagnostics.Error(node.place, number ? "cannot-be" : "bad-quantity", lead + *outside);
  return std::nullopt;
}

void ReportTwice(const std::string& name, const Place& place, const Place& first, Diagnostics& diagnostics) {
  diagnostics.Error(place, "described-twice", fmt::format("`{}` has been described already", name))
      .notes.push_back({first, "here"});
}

void ReadMinutes(Fields& fields, Presence presence, double& to, const char* help) {
  fields.Number("minutes", presence, to, help, "minutes");
  if (to >= 0) return;
  fields.diagnostics().Error(fields.PlaceOf("minutes"), "negative-minutes", "minutes cannot be negative");
}

void ReadSentence(Fields& fields, const char* key, Presence presence, std::string& to,
                  const std::vector<std::string>& known, const char* help) {
  fields.Text(key, presence, to, help);
  for (std::size_t open = to.find('{'); open != std::string::npos; open = to.find('{', open + 1)) {
    const std::size_t close = to.find('}', open);
    if (close == std::string::npos) {
      fields.diagnostics().Error(fields.PlaceOf(key), "open-brace", "a brace in this sentence is not closed");
      break;
    }
    const std::string name = to.substr(open + 1, close - open - 1);
    if (std::find(known.begin(), known.end(), name) != known.end()) continue;
    fields.diagnostics().Error(
        fields.PlaceOf(key), "unknown-brace",
        fmt::format("`{{{}}}` in this sentence stands for nothing{}", name, Hint(name, known)));
  }
}

bool RequireKnown(const std::string& name, const std::vector<std::string>& known, const char* what,
                  const Place& place, Diagnostics& diagnostics) {
  if (std::find(known.begin(), known.end(), name) != known.end()) return true;
  diagnostics.Error(place, fmt::format("unknown-{}", what),
                    fmt::format("there is no {} called {}{}", what, InTicks(name), Hint(name, known)));
  return false;
}

}  // namespace gearwhy
