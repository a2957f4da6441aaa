// Reading the fields of a YAML map with every slip reported: missing, unknown, of the wrong kind.
//
// Usage:  Fields fields(node, "a rule", diagnostics);
//         const YamlNode* when = fields.Required("when");
//         ...
//         fields.Done();   // reports keys nobody asked for, with the nearest that somebody did
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/text/diagnostic.h"
#include "engine/text/yaml.h"

namespace gearwhy {

class Fields {
 public:
  // `what` names the thing in messages ("a rule"). The node need not be a map: that is reported once, and
  // every field is then absent. The node and the sink must outlive this.
  Fields(const YamlNode& node, std::string what, Diagnostics& diagnostics);

  bool IsMap() const { return is_map_; }
  // The value or nullptr; Required also reports a missing key. An empty value counts as missing.
  const YamlNode* Required(const char* key);
  const YamlNode* Optional(const char* key);

  // Scalars by type; a value of the wrong kind is reported and the default returned.
  std::string RequiredText(const char* key);
  std::string OptionalText(const char* key, std::string otherwise = "");
  // A name: letters, digits, `_`, `-`, `.`, starting with a letter or digit.
  std::string RequiredName(const char* key);
  std::string OptionalName(const char* key);
  double OptionalNumber(const char* key, double otherwise);
  bool OptionalBool(const char* key, bool otherwise);
  // A list's items; a missing key gives an empty list, a value that is no list is reported.
  const std::vector<YamlNode>& OptionalList(const char* key);
  const std::vector<YamlNode>& RequiredList(const char* key);
  // A map's entries, likewise.
  const std::vector<YamlEntry>& OptionalMap(const char* key);
  const std::vector<YamlEntry>& RequiredMap(const char* key);
  // A list of names; a single name counts as a list of one.
  std::vector<std::string> OptionalNames(const char* key);

  // The place of the key's value, or of the whole map when the key is not there.
  Place PlaceOf(const char* key) const;

  // Call last: reports every key that was not asked for.
  void Done();

 private:
  const YamlNode* Look(const char* key);

  const YamlNode& node_;
  std::string what_;
  Diagnostics& diagnostics_;
  bool is_map_;
  std::vector<std::string> asked_;
};

// The scalar's text, or a report that `what` should be a single value.
bool ReadText(const YamlNode& node, const std::string& what, Diagnostics& diagnostics, std::string* out);
// The same for a name.
bool ReadName(const YamlNode& node, const std::string& what, Diagnostics& diagnostics, std::string* out);
bool IsName(std::string_view text);

}  // namespace gearwhy
