// JSON Schema of a file, from what its loader asks for.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "engine/render/json.h"

namespace gearwhy {
namespace {

using Json = nlohmann::ordered_json;

// What a field takes that is no kind of entry. A name may look like a number or a truth to who reads the
// YAML.
constexpr const char* kTaken = R"({
  "text": {"type": ["string", "number", "boolean"]},
  "name": {"type": ["string", "number", "boolean"], "pattern": "^[A-Za-z0-9][A-Za-z0-9_.-]*$"},
  "some_names": {"type": "array", "items": {"$ref": "#/definitions/name"}, "minItems": 1},
  "names": {"anyOf": [{"$ref": "#/definitions/name"},
                      {"type": "array", "items": {"$ref": "#/definitions/name"}}]},
  "members": {"type": "array", "items": {"$ref": "#/definitions/name"}, "minItems": 2},
  "two_members": {"type": "array", "items": {"$ref": "#/definitions/name"}, "minItems": 2, "maxItems": 2},
  "number": {"type": "number"},
  "minutes": {"type": "number", "minimum": 0},
  "count": {"type": "integer", "minimum": 1, "maximum": 1000},
  "counts": {"type": "object", "additionalProperties": {"$ref": "#/definitions/count"}},
  "truth": {"type": "boolean"},
  "share": {"type": ["string", "number"], "minimum": 0, "maximum": 1},
  "quantity": {"type": ["string", "number", "boolean"]},
  "quantities": {"type": "object", "additionalProperties": {"$ref": "#/definitions/quantity"}},
  "filled_slot": {"description": "A name, a number with its unit, or a variable.",
                  "type": ["string", "number", "boolean"]},
  "slots": {"anyOf": [{"$ref": "#/definitions/filled_slot"}, {"type": "null"},
                      {"type": "object", "additionalProperties": {"$ref": "#/definitions/filled_slot"}}]},
  "statement": {"anyOf": [{"$ref": "#/definitions/name"},
                          {"type": "object", "minProperties": 1, "maxProperties": 1,
                           "propertyNames": {"pattern": "^[A-Za-z0-9][A-Za-z0-9_.-]*$",
                                             "not": {"enum": ["not", "present", "absent"]}},
                           "additionalProperties": {"$ref": "#/definitions/slots"}}]},
  "readings": {"anyOf": [{"$ref": "#/definitions/filled_slot"},
                         {"type": "array", "minItems": 1, "items": {"$ref": "#/definitions/filled_slot"}}]},
  "measured": {"anyOf": [{"$ref": "#/definitions/statement"},
                         {"type": "object", "minProperties": 1, "maxProperties": 1,
                          "propertyNames": {"pattern": "^[A-Za-z0-9][A-Za-z0-9_.-]*$"},
                          "additionalProperties":
                            {"type": "object", "additionalProperties": {"$ref": "#/definitions/filled_slot"},
                             "properties": {"is": {"$ref": "#/definitions/readings"},
                                            "with": {"$ref": "#/definitions/name"},
                                            "when": {"enum": ["as_found", "as_built"]},
                                            "temperature": {"$ref": "#/definitions/filled_slot"},
                                            "places": {"type": "object", "minProperties": 1,
                                                       "additionalProperties":
                                                         {"$ref": "#/definitions/readings"}}}}}]},
  "address": {"anyOf": [{"$ref": "#/definitions/name"}, {"type": "object", "minProperties": 1}]},
  "change_to": {"description": "Keys of the entry with their new values; of what has no keys, its new value.",
                "type": ["object", "string", "number", "boolean"]},
  "change_with": {"description": "Keys of the entry.", "type": "object"},
  "report": {"type": "object", "minProperties": 1, "maxProperties": 1, "additionalProperties": false,
             "properties": {"present": {"$ref": "#/definitions/statement"},
                            "absent": {"$ref": "#/definitions/statement"}}},
  "negation": {"type": "object", "required": ["not"], "additionalProperties": false,
               "properties": {"not": {"anyOf": [{"$ref": "#/definitions/statement"},
                                                {"$ref": "#/definitions/report"}]}}},
  "condition": {"anyOf": [{"type": "string"}, {"$ref": "#/definitions/statement"},
                          {"$ref": "#/definitions/report"}, {"$ref": "#/definitions/negation"}]}
})";

// "slot|name": either.
Json Taken(const FieldShape& field) {
  if (!field.choices.empty()) return {{"enum", field.choices}};
  Json either = Json::array();
  std::string_view left = field.takes;
  while (!left.empty()) {
    const std::string_view one = left.substr(0, left.find('|'));
    either.push_back({{"$ref", "#/definitions/" + std::string(one)}});
    left.remove_prefix(std::min(one.size() + 1, left.size()));
  }
  return either.size() == 1 ? either[0] : Json{{"anyOf", either}};
}

Json Field(const FieldShape& field) {
  Json json = {{"description", field.help}};
  switch (field.form) {
    case FieldShape::Form::kOne:
      json["allOf"] = {Taken(field)};  // one deeper: what stands beside a reference counts for nothing
      break;
    case FieldShape::Form::kList:
      json["type"] = "array";
      json["items"] = Taken(field);
      break;
    case FieldShape::Form::kMap:
      json["type"] = "object";
      json["propertyNames"] = {{"$ref", "#/definitions/name"}};
      json["additionalProperties"] = Taken(field);
      break;
  }
  return json;
}

// A key that stands there only where another says so.
Json OnlyWhere(const FieldShape& field) {
  Json json = {{"if", {{"required", {field.only_key}}}}};
  if (!field.only_values.empty()) json["if"]["properties"][field.only_key] = {{"enum", field.only_values}};
  if (field.presence == Presence::kNeeded) json["then"] = {{"required", {field.key}}};
  json["else"]["properties"][field.key] = false;
  return json;
}

Json Object(const EntryShape& entry) {
  Json json = {{"type", "object"}, {"properties", Json::object()}, {"additionalProperties", false}};
  for (const char* key : entry.one_of) json["oneOf"].push_back({{"required", {key}}});
  for (const FieldShape& field : entry.fields) {
    json["properties"][field.key] = Field(field);
    if (field.only_key != nullptr) {
      json["allOf"].push_back(OnlyWhere(field));
    } else if (field.presence == Presence::kNeeded) {
      json["required"].push_back(field.key);
    }
  }
  return json;
}

}  // namespace

std::string SchemaJson(const FileShape& file, int indent) {
  Json json = {{"$schema", "http://json-schema.org/draft-07/schema#"}, {"title", "gearwhy " + file[0].kind}};
  json.update(Object(file[0]));
  json["definitions"] = Json::parse(kTaken);
  for (std::size_t i = 1; i < file.size(); ++i) json["definitions"][file[i].kind] = Object(file[i]);
  return json.dump(indent);
}

}  // namespace gearwhy
