#include "engine/text/fields.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "engine/text/ascii.h"
#include "engine/text/near_names.h"
#include "engine/text/number.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

const char* KindText(const YamlNode& node) {
  switch (node.kind) {
    case YamlNode::Kind::kEmpty:
      return "nothing";
    case YamlNode::Kind::kScalar:
      return "a single value";
    case YamlNode::Kind::kList:
      return "a list";
    case YamlNode::Kind::kMap:
      return "a map";
  }
  return "";
}

// The slip behind most maps that turn out to be text: `key:value`.
const char* ColonHint(const YamlNode& node) {
  const bool slip = node.IsScalar() && !node.quoted && node.text.find(':') != std::string::npos;
  return slip ? "; is the space behind a colon missing?" : "";
}

void ReportKind(const YamlNode& node, const std::string& what, const char* wanted, const char* code,
                Diagnostics& diagnostics) {
  diagnostics.Error(node.place, code,
                    fmt::format("{} should be {}, not {}{}", what, wanted, KindText(node), ColonHint(node)));
}

std::string Key(const char* key) { return InTicks(key); }

}  // namespace

bool IsName(std::string_view text) {
  const auto is_letter_or_digit = [](char c) { return IsLetter(c) || IsDigit(c); };
  return !text.empty() && is_letter_or_digit(text[0]) && std::all_of(text.begin(), text.end(), [&](char c) {
    return is_letter_or_digit(c) || c == '_' || c == '-' || c == '.';
  });
}

bool ReadText(const YamlNode& node, const std::string& what, Diagnostics& diagnostics, std::string* out) {
  if (!node.IsScalar()) {
    diagnostics.Error(node.place, "not-text",
                      fmt::format("{} should be a single value, not {}", what, KindText(node)));
    return false;
  }
  *out = node.text;
  return true;
}

bool ReadName(const YamlNode& node, const std::string& what, Diagnostics& diagnostics, std::string* out) {
  std::string text;
  if (!ReadText(node, what, diagnostics, &text)) return false;
  if (!IsName(text)) {
    diagnostics.Error(
        node.place, "not-a-name",
        fmt::format("{} should be a name, not {}; a name starts with a letter or digit and holds only "
                    "letters, digits, `_`, `-` and `.`",
                    what, InTicks(text)));
    return false;
  }
  *out = std::move(text);
  return true;
}

Fields::Fields(const YamlNode& node, std::string what, Diagnostics& diagnostics)
    : node_(node), what_(std::move(what)), diagnostics_(diagnostics), is_map_(node.IsMap()) {
  if (!is_map_) ReportKind(node, what_, "a map of keys and values", "not-a-map", diagnostics_);
}

const YamlNode* Fields::Look(const char* key) {
  if (std::find(asked_.begin(), asked_.end(), key) == asked_.end()) asked_.emplace_back(key);
  if (!is_map_) return nullptr;
  const YamlNode* value = node_.Find(key);
  return value && !value->IsEmpty() ? value : nullptr;
}

const YamlNode* Fields::Optional(const char* key) { return Look(key); }

const YamlNode* Fields::Required(const char* key) {
  const YamlNode* value = Look(key);
  if (!value && is_map_) {
    const bool is_empty = node_.Find(key) != nullptr;
    diagnostics_.Error(PlaceOf(key), "missing-key",
                       is_empty ? fmt::format("{} has an empty {}", what_, Key(key))
                                : fmt::format("{} lacks the key {}", what_, Key(key)));
  }
  return value;
}

std::string Fields::RequiredText(const char* key) {
  std::string text;
  const YamlNode* value = Required(key);
  if (value && ReadText(*value, Key(key), diagnostics_, &text) && text.empty()) {
    diagnostics_.Error(value->place, "missing-key", fmt::format("{} has an empty {}", what_, Key(key)));
  }
  return text;
}

std::string Fields::OptionalText(const char* key, std::string otherwise) {
  const YamlNode* value = Optional(key);
  std::string text;
  return value && ReadText(*value, Key(key), diagnostics_, &text) ? text : otherwise;
}

std::string Fields::RequiredName(const char* key) {
  const YamlNode* value = Required(key);
  std::string name;
  if (value) ReadName(*value, Key(key), diagnostics_, &name);
  return name;
}

std::string Fields::OptionalName(const char* key) {
  const YamlNode* value = Optional(key);
  std::string name;
  if (value) ReadName(*value, Key(key), diagnostics_, &name);
  return name;
}

double Fields::OptionalNumber(const char* key, double otherwise) {
  const YamlNode* value = Optional(key);
  std::string text;
  if (!value || !ReadText(*value, Key(key), diagnostics_, &text)) return otherwise;
  std::string why;
  const std::optional<double> number = ParseNumber(text, &why);
  if (number && !value->quoted) return *number;
  if (number)
    why = fmt::format("{} is text because it stands in quotes; take the quotes away", InTicks(text));
  diagnostics_.Error(value->place, "not-a-number", fmt::format("{} should be a number: {}", Key(key), why));
  return otherwise;
}

bool Fields::OptionalBool(const char* key, bool otherwise) {
  const YamlNode* value = Optional(key);
  std::string text;
  if (!value || !ReadText(*value, Key(key), diagnostics_, &text)) return otherwise;
  if (!value->quoted && (text == "true" || text == "false")) return text == "true";
  diagnostics_.Error(value->place, "not-a-bool",
                     fmt::format("{} should be true or false, not {}{}", Key(key), InTicks(text),
                                 value->quoted ? " in quotes" : ""));
  return otherwise;
}

namespace {
template <typename Item>
const std::vector<Item>& None() {
  static const std::vector<Item> none;
  return none;
}

const std::vector<YamlNode>& ListOf(const YamlNode* value, const char* key, Diagnostics& diagnostics) {
  if (!value) return None<YamlNode>();
  if (value->IsList()) return value->items;
  ReportKind(*value, Key(key), "a list", "not-a-list", diagnostics);
  return None<YamlNode>();
}

const std::vector<YamlEntry>& MapOf(const YamlNode* value, const char* key, Diagnostics& diagnostics) {
  if (!value) return None<YamlEntry>();
  if (value->IsMap()) return value->entries;
  ReportKind(*value, Key(key), "a map of keys and values", "not-a-map", diagnostics);
  return None<YamlEntry>();
}
}  // namespace

const std::vector<YamlNode>& Fields::OptionalList(const char* key) {
  return ListOf(Optional(key), key, diagnostics_);
}

const std::vector<YamlNode>& Fields::RequiredList(const char* key) {
  return ListOf(Required(key), key, diagnostics_);
}

const std::vector<YamlEntry>& Fields::OptionalMap(const char* key) {
  return MapOf(Optional(key), key, diagnostics_);
}

const std::vector<YamlEntry>& Fields::RequiredMap(const char* key) {
  return MapOf(Required(key), key, diagnostics_);
}

std::vector<std::string> Fields::OptionalNames(const char* key) {
  std::vector<std::string> names;
  const YamlNode* value = Optional(key);
  if (!value) return names;
  if (value->IsMap()) {
    ReportKind(*value, Key(key), "a name or a list of names", "not-a-list", diagnostics_);
    return names;
  }
  std::string name;
  if (value->IsScalar() && ReadName(*value, Key(key), diagnostics_, &name)) names.push_back(name);
  for (const YamlNode& item : value->items) {
    if (ReadName(item, "an item of " + Key(key), diagnostics_, &name)) names.push_back(name);
  }
  return names;
}

Place Fields::PlaceOf(const char* key) const {
  const YamlNode* value = is_map_ ? node_.Find(key) : nullptr;
  return value ? value->place : node_.place;
}

void Fields::Done() {
  if (!is_map_) return;
  for (const YamlEntry& entry : node_.entries) {
    if (std::find(asked_.begin(), asked_.end(), entry.key) != asked_.end()) continue;
    diagnostics_.Error(entry.key_place, "unknown-key",
                       fmt::format("{} has no key {}{}", what_, InTicks(entry.key), Hint(entry.key, asked_)));
  }
}

}  // namespace gearwhy
