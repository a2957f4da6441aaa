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

// What every value is while fields are described.
const YamlNode& Nothing() {
  static const YamlNode kNothing = [] {
    YamlNode map;
    map.kind = YamlNode::Kind::kMap;
    return map;
  }();
  return kNothing;
}

EntryShape* FindShape(FileShape& shapes, const std::string& kind) {
  const auto it =
      std::find_if(shapes.begin(), shapes.end(), [&](const EntryShape& shape) { return shape.kind == kind; });
  return it == shapes.end() ? nullptr : &*it;
}

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

Fields::Fields(FileShape& described, const std::string& kind, Diagnostics& diagnostics)
    : node_(Nothing()), what_(kind), diagnostics_(diagnostics), is_map_(true), described_(&described) {
  shape_.kind = kind;
  if (FindShape(described, kind) == nullptr) described.push_back({kind});
}

Place Fields::PlaceOf(const char* key) const {
  const YamlNode* value = is_map_ ? node_.Find(key) : nullptr;
  return value ? value->place : node_.place;
}

bool Fields::Has(const char* key) const {
  const YamlNode* value = is_map_ ? node_.Find(key) : nullptr;
  return value && !value->IsEmpty();
}

const YamlNode* Fields::Look(FieldShape field) {
  const char* key = field.key;
  const bool needed = field.presence == Presence::kNeeded;
  field.only_key = only_key_;
  field.only_values = only_values_;
  shape_.fields.push_back(std::move(field));
  if (described_) return &Nothing();
  if (Has(key)) return node_.Find(key);
  if (needed && is_map_) {
    const bool is_empty = node_.Find(key) != nullptr;
    diagnostics_.Error(PlaceOf(key), "missing-key",
                       is_empty ? fmt::format("{} has an empty {}", what_, InTicks(key))
                                : fmt::format("{} lacks the key {}", what_, InTicks(key)));
  }
  return nullptr;
}

void Fields::Text(const char* key, Presence presence, std::string& to, const char* help) {
  const YamlNode* value = Value(key, presence, "text", help);
  if (!value || !ReadText(*value, InTicks(key), diagnostics_, &to)) return;
  if (to.empty() && presence == Presence::kNeeded)
    diagnostics_.Error(value->place, "missing-key", fmt::format("{} has an empty {}", what_, InTicks(key)));
}

void Fields::Name(const char* key, Presence presence, std::string& to, const char* help) {
  if (const YamlNode* value = Value(key, presence, "name", help))
    ReadName(*value, InTicks(key), diagnostics_, &to);
}

void Fields::Number(const char* key, Presence presence, double& to, const char* help, const char* takes) {
  const YamlNode* value = Value(key, presence, takes, help);
  std::string text, why;
  if (!value || !ReadText(*value, InTicks(key), diagnostics_, &text)) return;
  const std::optional<double> number = ParseNumber(text, &why);
  if (number && !value->quoted) {
    to = *number;
    return;
  }
  if (number)
    why = fmt::format("{} is text because it stands in quotes; take the quotes away", InTicks(text));
  diagnostics_.Error(value->place, "not-a-number",
                     fmt::format("{} should be a number: {}", InTicks(key), why));
}

void Fields::Truth(const char* key, bool& to, const char* help) {
  const YamlNode* value = Value(key, Presence::kOptional, "truth", help);
  std::string text;
  if (!value || !ReadText(*value, InTicks(key), diagnostics_, &text)) return;
  if (!value->quoted && (text == "true" || text == "false")) {
    to = text == "true";
    return;
  }
  diagnostics_.Error(value->place, "not-a-bool",
                     fmt::format("{} should be true or false, not {}{}", InTicks(key), InTicks(text),
                                 value->quoted ? " in quotes" : ""));
}

void Fields::Names(const char* key, std::vector<std::string>& to, const char* help) {
  const YamlNode* value = Value(key, Presence::kOptional, "names", help);
  if (!value) return;
  if (value->IsMap()) {
    ReportKind(*value, InTicks(key), "a name or a list of names", "not-a-list", diagnostics_);
    return;
  }
  std::string name;
  if (value->IsScalar() && ReadName(*value, InTicks(key), diagnostics_, &name)) to.push_back(name);
  for (const YamlNode& item : value->items) {
    if (ReadName(item, "an item of " + InTicks(key), diagnostics_, &name)) to.push_back(name);
  }
}

int Fields::Choose(FieldShape field, const char* hint) {
  const std::vector<std::string> names(field.choices.begin(), field.choices.end());
  const std::string key = InTicks(field.key);
  const YamlNode* value = Look(std::move(field));
  std::string name;
  if (described_) return 0;
  if (!value || !ReadName(*value, key, diagnostics_, &name)) return -1;
  const auto chosen = std::find(names.begin(), names.end(), name);
  if (chosen != names.end()) return static_cast<int>(chosen - names.begin());
  diagnostics_.Error(value->place, "unknown-choice",
                     fmt::format("{} cannot be {}{}{}", key, InTicks(name), Hint(name, names), hint));
  return -1;
}

const YamlNode* Fields::Value(const char* key, Presence presence, const char* takes, const char* help) {
  return Look({key, presence, takes, help});
}

const std::vector<YamlNode>& Fields::List(const char* key, Presence presence, const char* takes,
                                          const char* help) {
  static const std::vector<YamlNode> kNone, kOneOfNothing = {Nothing()};
  const YamlNode* value = Look({key, presence, takes, help, FieldShape::Form::kList});
  if (described_) return kOneOfNothing;
  if (!value) return kNone;
  if (!value->IsList()) ReportKind(*value, InTicks(key), "a list", "not-a-list", diagnostics_);
  return value->items;
}

const std::vector<YamlEntry>& Fields::Map(const char* key, Presence presence, const char* takes,
                                          const char* help) {
  static const std::vector<YamlEntry> kNone, kOneOfNothing = {{"name", {}, Nothing()}};
  const YamlNode* value = Look({key, presence, takes, help, FieldShape::Form::kMap});
  if (described_) return kOneOfNothing;
  if (!value) return kNone;
  if (!value->IsMap())
    ReportKind(*value, InTicks(key), "a map of keys and values", "not-a-map", diagnostics_);
  return value->entries;
}

std::vector<Fields> Fields::Entries(const char* key, Presence presence, const char* kind, const char* help,
                                    const std::string& what) {
  const bool vowel = std::string_view("aeiou").find(kind[0]) != std::string_view::npos;
  const std::string called = what.empty() ? (vowel ? "an " : "a ") + std::string(kind) : what;
  std::vector<Fields> entries;
  for (const YamlNode& item : List(key, presence, kind, help)) entries.push_back(Entry(kind, item, called));
  return entries;
}

std::vector<NamedFields> Fields::Named(const char* key, Presence presence, const char* kind, const char* help,
                                       const std::string& before_name) {
  std::vector<NamedFields> entries;
  for (const YamlEntry& entry : Map(key, presence, kind, help)) {
    const std::string what = fmt::format("the {} {}", kind, InTicks(before_name + entry.key));
    entries.push_back({entry, Entry(kind, entry.value, what)});
  }
  return entries;
}

Fields Fields::Entry(const char* kind, const YamlNode& node, std::string what) const {
  return described_ ? Fields(*described_, kind, diagnostics_) : Fields(node, std::move(what), diagnostics_);
}

bool Fields::ExactlyOne(std::vector<const char*> keys) {
  shape_.one_of = std::move(keys);
  return std::count_if(shape_.one_of.begin(), shape_.one_of.end(),
                       [&](const char* key) { return Has(key); }) == 1;
}

void Fields::Done() {
  if (described_) *FindShape(*described_, shape_.kind) = shape_;
  if (!is_map_) return;
  std::vector<std::string> known;
  for (const FieldShape& field : shape_.fields) known.emplace_back(field.key);
  for (const YamlEntry& entry : node_.entries) {
    if (std::find(known.begin(), known.end(), entry.key) != known.end()) continue;
    diagnostics_.Error(entry.key_place, "unknown-key",
                       fmt::format("{} has no key {}{}", what_, InTicks(entry.key), Hint(entry.key, known)));
  }
}

}  // namespace gearwhy
