// Reading the keys of an entry: what each takes and what it means, with every slip reported.
//
//   void LoadCaution(Fields& fields, Caution& caution) {
//     fields.Text("says", kNeeded, caution.says, "What the reader must know, in whole sentences.");
//     fields.Done();   // reports keys nobody asked for, with the nearest that somebody did
//   }
//
// So a loader names each key once, with a sentence of help. Over a file it reads them. Over nothing it
// describes them (DescribeFields): every value is then an empty map, each list and map holds one of them,
// and what was asked for is kept. A loader bears that, as it bears whatever stands in a file.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "engine/text/diagnostic.h"
#include "engine/text/entry_shape.h"
#include "engine/text/yaml.h"

namespace gearwhy {

struct NamedFields;

// Keys and help are literals: they outlive everything.
class Fields {
 public:
  // `what` names the thing in messages ("a rule"). The node need not be a map: that is reported once, and
  // every field is then absent. The node and the sink must outlive this.
  Fields(const YamlNode& node, std::string what, Diagnostics& diagnostics);
  // Over nothing: keeps in `described` what is asked for, as an entry of that kind.
  Fields(FileShape& described, const std::string& kind, Diagnostics& diagnostics);

  bool IsMap() const { return is_map_; }
  const Place& place() const { return node_.place; }
  Diagnostics& diagnostics() const { return diagnostics_; }
  // The place of the key's value, or of the whole map when the key is not there.
  Place PlaceOf(const char* key) const;
  // Whether the key stands there with something behind it.
  bool Has(const char* key) const;

  // Each reads one key. A missing one is reported where it is needed, and an empty value counts as missing; a
  // value of the wrong kind is reported. In either case `to` stays what it was.
  void Text(const char* key, Presence presence, std::string& to, const char* help);
  // Letters, digits, `_`, `-`, `.`, starting with a letter or digit.
  void Name(const char* key, Presence presence, std::string& to, const char* help);
  void Number(const char* key, Presence presence, double& to, const char* help, const char* takes = "number");
  void Truth(const char* key, bool& to, const char* help);
  // A list of names; a single name counts as a list of one.
  void Names(const char* key, std::vector<std::string>& to, const char* help);
  // One of the choices, by its name (a literal). False when it was not read. `hint` goes behind what is
  // reported.
  template <typename Choice>
  bool OneOf(const char* key, Presence presence, const std::vector<Choice>& choices,
             std::string_view (*name)(Choice), Choice& to, const char* help, const char* hint = "");

  // A value, a list or a map that the caller reads; `takes` as in FieldShape. A missing list is an empty one.
  const YamlNode* Value(const char* key, Presence presence, const char* takes, const char* help);
  const std::vector<YamlNode>& List(const char* key, Presence presence, const char* takes, const char* help);
  const std::vector<YamlEntry>& Map(const char* key, Presence presence, const char* takes, const char* help);

  // Entries of one kind: a list of them, each called "a cause" if nothing else is said, or a map from their
  // names, each called "the part `E.piston`", with what goes before its name.
  std::vector<Fields> Entries(const char* key, Presence presence, const char* kind, const char* help,
                              const std::string& what = "");
  std::vector<NamedFields> Named(const char* key, Presence presence, const char* kind, const char* help,
                                 const std::string& before_name = "");
  // One entry that the caller found.
  Fields Entry(const char* kind, const YamlNode& node, std::string what) const;

  // Reads keys that stand there only where the key `other` says one of `values` (without values: anything),
  // which the caller has found to hold or not.
  template <typename Read>
  void Where(const char* other, std::vector<const char*> values, bool holds, Read read);
  // Whether exactly one of them stands there. What is wrong otherwise is the caller's to say.
  bool ExactlyOne(std::vector<const char*> keys);

  // Call last: reports every key that was not asked for.
  void Done();

 private:
  const YamlNode* Look(FieldShape field);
  int Choose(FieldShape field, const char* hint);

  const YamlNode& node_;
  std::string what_;
  Diagnostics& diagnostics_;
  bool is_map_;
  FileShape* described_ = nullptr;
  EntryShape shape_;  // what was asked for
  const char* only_key_ = nullptr;
  std::vector<const char*> only_values_;
};

struct NamedFields {
  const YamlEntry& entry;
  Fields fields;
};

// What a loader asks for: `load` gets the fields of a file of that kind, and where to report.
template <typename Load>
FileShape DescribeFields(const char* kind, Load load) {
  FileShape described;
  Diagnostics unheard;
  load(Fields(described, kind, unheard), unheard);
  return described;
}

// The scalar's text, or a report that `what` should be a single value.
bool ReadText(const YamlNode& node, const std::string& what, Diagnostics& diagnostics, std::string* out);
// The same for a name.
bool ReadName(const YamlNode& node, const std::string& what, Diagnostics& diagnostics, std::string* out);
bool IsName(std::string_view text);

// ---- Templates.

template <typename Choice>
bool Fields::OneOf(const char* key, Presence presence, const std::vector<Choice>& choices,
                   std::string_view (*name)(Choice), Choice& to, const char* help, const char* hint) {
  FieldShape field = {key, presence, "name", help};
  for (const Choice choice : choices) field.choices.push_back(name(choice));
  const int chosen = Choose(std::move(field), hint);
  if (chosen >= 0) to = choices[static_cast<std::size_t>(chosen)];
  return chosen >= 0;
}

template <typename Read>
void Fields::Where(const char* other, std::vector<const char*> values, bool holds, Read read) {
  if (!holds && described_ == nullptr) return;
  only_key_ = other;
  only_values_ = std::move(values);
  read();
  only_key_ = nullptr;
  only_values_.clear();
}

}  // namespace gearwhy
