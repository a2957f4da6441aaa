// JSON Schema of a file, from what its loader asks for and from the names in force.
#include <algorithm>
#include <map>
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

// The names in force, as schemas.
class Named {
 public:
  // `only`: nothing but these may stand.
  Named(const Rulebook& book, const std::vector<std::string>& units, bool only) : only_(only) {
    const Words& words = book.words;
    for (const auto& [name, word] : words.words) (word.IsEvent() ? events_ : facts_).push_back(name);
    for (const Trust& trust : words.trusts) of_key_["trust"].push_back(trust.name);
    for (const auto& [name, access] : words.access) of_key_["access"].push_back(name);
    of_key_["open"] = of_key_["access"];
    for (const auto& [name, circumstance] : words.circumstances) of_key_["under"].push_back(name);
    for (const auto& [name, caution] : words.cautions) of_key_["cautions"].push_back(name);
    for (const auto& [name, often] : words.how_often) often_.push_back(name);
    for (const auto& [name, instrument] : book.instruments) instruments_.push_back(name);
    of_key_["unit"] = units;
    for (const auto& [name, word] : words.words) {
      const Json slots = SlotsOf(words, word);
      const std::string called = "slots_" + std::to_string(shapes_.size() + 1);
      const auto same =
          std::find_if(shapes_.begin(), shapes_.end(), [&](const auto& one) { return one.second == slots; });
      slots_[name] = {{"$ref", "#/definitions/" + (same == shapes_.end() ? called : same->first)}};
      if (same == shapes_.end()) shapes_.emplace_back(called, slots);
    }
  }

  // What the key names; null where anything may stand behind it.
  Json Of(const FieldShape& field) const {
    const auto known = of_key_.find(field.key);
    if (known == of_key_.end() || known->second.empty()) return nullptr;
    return OneOf(known->second, "name");
  }

  // Puts the names into the definitions.
  void Fill(Json& definitions) const {
    std::vector<std::string> names = events_;
    names.insert(names.end(), facts_.begin(), facts_.end());
    const Json name = OneOf(names, "name");
    Json statement = definitions["statement"]["anyOf"][1];
    statement["properties"] = slots_;
    if (only_) statement["additionalProperties"] = false;
    definitions["statement"] = {{"anyOf", {name, statement}}};
    for (const auto& [called, slots] : shapes_) definitions[called] = slots;
    definitions["share"]["examples"] = often_;
    if (!only_) return;
    Json& measured = definitions["measured"]["anyOf"][1];
    measured["propertyNames"] = {{"enum", facts_}};
    if (!instruments_.empty())
      measured["additionalProperties"]["properties"]["with"] = {{"enum", instruments_}};
  }

 private:
  Json OneOf(const Json& names, const char* others) const {
    if (only_) return {{"enum", names}};
    return {{"anyOf", {{{"enum", names}}, {{"$ref", std::string("#/definitions/") + others}}}}};
  }

  // What fills the slots of a word: the only one that must be there stands alone, too.
  Json SlotsOf(const Words& words, const Word& word) const {
    if (!only_) return {{"$ref", "#/definitions/slots"}};
    Json slots = Json::object();
    int needed = 0;
    const Json filled = {{"$ref", "#/definitions/filled_slot"}};
    for (const Slot& slot : word.slots) {
      const auto kind = words.kinds.find(slot.kind);
      const bool closed = kind != words.kinds.end() && !kind->second.open;
      slots[slot.name] = closed ? Json{{"enum", kind->second.values}} : filled;
      needed += slot.otherwise ? 0 : 1;
    }
    Json either = {{{"type", "object"}, {"properties", slots}, {"additionalProperties", false}}};
    if (needed == 1 || (needed == 0 && word.slots.size() == 1)) either.push_back(filled);
    if (needed == 0) either.push_back({{"type", "null"}});
    return {{"anyOf", either}};
  }

  bool only_ = false;
  std::vector<std::string> events_, facts_, often_, instruments_;
  std::map<std::string, std::vector<std::string>> of_key_;
  std::vector<std::pair<std::string, Json>> shapes_;  // definitions: what fills slots, each once
  std::map<std::string, Json> slots_;                 // by word: which of them
};

// "slot|name": either.
Json Taken(const FieldShape& field, const Named& named) {
  if (!field.choices.empty()) return {{"enum", field.choices}};
  Json either = Json::array();
  std::string_view left = field.takes;
  while (!left.empty()) {
    const std::string_view one = left.substr(0, left.find('|'));
    const Json known = one == "name" || one == "names" ? named.Of(field) : nullptr;
    if (known.is_null())
      either.push_back({{"$ref", "#/definitions/" + std::string(one)}});
    else
      either.push_back(known);
    if (!known.is_null() && one == "names") either.push_back({{"type", "array"}, {"items", known}});
    left.remove_prefix(std::min(one.size() + 1, left.size()));
  }
  return either.size() == 1 ? either[0] : Json{{"anyOf", either}};
}

Json Field(const FieldShape& field, const Named& named) {
  Json json = {{"description", field.help}};
  switch (field.form) {
    case FieldShape::Form::kOne:
      json["allOf"] = {Taken(field, named)};  // one deeper: what stands beside a reference counts for nothing
      break;
    case FieldShape::Form::kList:
      json["type"] = "array";
      json["items"] = Taken(field, named);
      break;
    case FieldShape::Form::kMap:
      json["type"] = "object";
      json["propertyNames"] = {{"$ref", "#/definitions/name"}};
      json["additionalProperties"] = Taken(field, named);
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

Json Object(const EntryShape& entry, const Named& named) {
  Json json = {{"type", "object"}, {"properties", Json::object()}, {"additionalProperties", false}};
  for (const char* key : entry.one_of) json["oneOf"].push_back({{"required", {key}}});
  for (const FieldShape& field : entry.fields) {
    json["properties"][field.key] = Field(field, named);
    if (field.only_key != nullptr) {
      json["allOf"].push_back(OnlyWhere(field));
    } else if (field.presence == Presence::kNeeded) {
      json["required"].push_back(field.key);
    }
  }
  return json;
}

}  // namespace

std::string SchemaJson(const FileShape& file, const Rulebook& book, const std::vector<std::string>& units,
                       int indent) {
  const Named named(book, units, file[0].kind == "case");
  Json json = {{"$schema", "http://json-schema.org/draft-07/schema#"}, {"title", "gearwhy " + file[0].kind}};
  json.update(Object(file[0], named));
  json["definitions"] = Json::parse(kTaken);
  named.Fill(json["definitions"]);
  for (std::size_t i = 1; i < file.size(); ++i) json["definitions"][file[i].kind] = Object(file[i], named);
  return json.dump(indent);
}

}  // namespace gearwhy
