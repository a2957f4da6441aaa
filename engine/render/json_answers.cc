#include "engine/render/json_answers.h"

#include "engine/render/json_parts.h"

namespace gearwhy {

std::optional<WrittenAnswer> ReadAnswer(std::string_view line) {
  constexpr int kDepth = 2;  // of `program` in `made_by`
  const auto keep = [](int depth, Json::parse_event_t, Json&) { return depth <= kDepth; };
  const Json json = Json::parse(line.begin(), line.end(), keep, false);
  if (!json.is_object() || !json.contains("made_by") || !json.contains("made_from")) return std::nullopt;
  const Json& made_by = json["made_by"];
  const Json& made_from = json["made_from"];
  if (!made_by.is_object() || made_by.value("program", Json()) != "gearwhy" || !made_from.is_string())
    return std::nullopt;
  return WrittenAnswer{made_from.get<std::string>(), !json.contains("errors")};
}

}  // namespace gearwhy
