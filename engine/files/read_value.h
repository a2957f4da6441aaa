// Values that several loaders read: chances, minutes, sentences with names in braces, names that must be
// known.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/model/quantity.h"
#include "engine/text/fields.h"
#include "engine/text/yaml.h"

namespace gearwhy {

// From words to chances, as in Words::how_often.
using Scale = std::map<std::string, double, std::less<>>;

// A chance: a word of the scale, `12%`, `3 in 10`, or a number between 0 and 1. Reports anything else.
std::optional<double> ReadChance(const YamlNode& node, const Scale& how_often, Diagnostics& diagnostics);

// The chance under a key; `to` (a number, or one that may be missing) stays what it was when there is none.
template <typename To>
void ReadChance(Fields& fields, const char* key, Presence presence, To& to, const char* help,
                const Scale& how_often) {
  const YamlNode* value = fields.Value(key, presence, "share", help);
  if (value == nullptr) return;
  if (const auto chance = ReadChance(*value, how_often, fields.diagnostics())) to = *chance;
}

// A quantity of this dimension in this range, in the base unit. Else nothing, after reporting that `what` is
// no single value, or, behind `lead`, why it is no such quantity.
std::optional<double> ReadQuantity(const YamlNode& node, const std::string& what, const std::string& lead,
                                   Dimension dimension, const QuantityRange& range, Diagnostics& diagnostics);

// What is described under a name that is taken; `first` is where it was.
void ReportTwice(const std::string& name, const Place& place, const Place& first, Diagnostics& diagnostics);

// The key `minutes`, which is not negative.
void ReadMinutes(Fields& fields, Presence presence, double& to, const char* help);

// A sentence that may have each of the names `known` in braces.
void ReadSentence(Fields& fields, const char* key, Presence presence, std::string& to,
                  const std::vector<std::string>& known, const char* help);

// Something that has the name and the place of its entry.
template <typename Of>
Of NamedBy(const YamlEntry& entry) {
  Of one;
  one.name = entry.key;
  one.place = entry.key_place;
  return one;
}

// The names of all in a map by name, or in a list of things with a `name`.
template <typename All>
std::vector<std::string> NamesOf(const All& all) {
  std::vector<std::string> names;
  for (const auto& one : all) {
    if constexpr (requires { typename All::mapped_type; }) {
      names.push_back(one.first);
    } else {
      names.push_back(one.name);
    }
  }
  return names;
}

// Reports a name that is not among `known`: "there is no access called `pna_off`; did you mean `pan_off`?"
bool RequireKnown(const std::string& name, const std::vector<std::string>& known, const char* what,
                  const Place& place, Diagnostics& diagnostics);

}  // namespace gearwhy
