// The keys of all files: each said with a sentence, and the guide to the rulebook lists just these.
//
// GEARWHY_REWRITE=1 rewrites the list in the guide from the loaders; read the differences before you commit
// them.
#include <cstdlib>
#include <fstream>
#include <set>
#include <sstream>

#include "engine/files/load_case.h"
#include "engine/files/load_rulebook.h"
#include "engine/files/load_unit.h"
#include "engine/text/yaml.h"
#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

constexpr const char* kGuide = GEARWHY_SOURCE_DIR "/rules/README.md";
constexpr const char* kHeading = "## All keys\n";

std::vector<FileShape> Files() { return {RulebookShape(), UnitShape(), CaseShape()}; }

const EntryShape* FindEntry(const FileShape& file, std::string_view kind) {
  for (const EntryShape& entry : file) {
    if (entry.kind == kind) return &entry;
  }
  return nullptr;
}

const FieldShape* FindField(const EntryShape& entry, std::string_view key) {
  for (const FieldShape& field : entry.fields) {
    if (field.key == key) return &field;
  }
  return nullptr;
}

// "`simple`, `dual_pinion` or `ravigneaux`"
template <typename Text>
std::string Listed(const std::vector<Text>& names) {
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i)
    text += (i == 0 ? "`" : i + 1 == names.size() ? " or `" : ", `") + std::string(names[i]) + "`";
  return text;
}

// "needed where `type` is `brake` or `band`", or nothing.
std::string When(const FieldShape& field) {
  std::string when = field.presence == Presence::kNeeded ? "needed" : "";
  if (field.only_key == nullptr) return when;
  when += (when.empty() ? "only where `" : " where `") + std::string(field.only_key) + "` is ";
  return when + (field.only_values.empty() ? "given" : Listed(field.only_values));
}

// What the guide says in brackets behind a key.
std::string InBrackets(const FieldShape& field) {
  const std::string when = When(field), choices = Listed(field.choices);
  if (when.empty() && choices.empty()) return "";
  return " (" + when + (when.empty() || choices.empty() ? "" : ": ") + choices + ")";
}

std::string KeysSection() {
  std::string text = std::string(kHeading) +
                     "\nOf each kind of file, and of each kind of entry in it. A test keeps this list as "
                     "the loaders have it.\n";
  for (const FileShape& file : Files()) {
    for (const EntryShape& entry : file) {
      const bool is_file = &entry == &file[0];
      text += "\n" + (is_file ? "### A " + entry.kind + " file" : "**" + entry.kind + "**") + "\n\n";
      if (!entry.one_of.empty())
        text += "Just one of " + Listed(entry.one_of) + " stands there.\n\n";
      for (const FieldShape& field : entry.fields)
        text += "- `" + std::string(field.key) + "`" + InBrackets(field) + ": " + field.help + "\n";
    }
  }
  return text;
}

TEST_CASE("every key says in a sentence what it is for, and is named once") {
  for (const FileShape& file : Files()) {
    for (const EntryShape& entry : file) {
      INFO(entry.kind);
      CHECK_FALSE(entry.fields.empty());
      std::set<std::string> keys;
      for (const FieldShape& field : entry.fields) {
        INFO(field.key);
        CHECK(keys.insert(field.key).second);
        const std::string help = field.help;
        CHECK(help.size() > 8);
        CHECK(help.ends_with('.'));
        CHECK((field.only_key == nullptr || FindField(entry, field.only_key) != nullptr));
      }
      for (const char* key : entry.one_of) CHECK(FindField(entry, key) != nullptr);
    }
  }
}

TEST_CASE("the guide lists the keys of the loaders, word for word") {
  const std::string guide = ReadAll(kGuide);
  const std::size_t at = guide.find(kHeading);
  if (std::getenv("GEARWHY_REWRITE") != nullptr) {
    const std::string before = at == std::string::npos ? guide + "\n" : guide.substr(0, at);
    std::ofstream(kGuide) << before + KeysSection();
    return;
  }
  REQUIRE(at != std::string::npos);
  CHECK(guide.substr(at) == KeysSection());
}

// Walks an entry by its shape, and says which keys the shape lacks.
void FindUnknown(const YamlNode& node, const FileShape& file, const EntryShape& shape,
                 std::set<std::string>& unknown) {
  for (const YamlEntry& entry : node.entries) {
    const FieldShape* field = FindField(shape, entry.key);
    if (field == nullptr) {
      unknown.insert(shape.kind + ": " + entry.key);
      continue;
    }
    const std::string takes = field->takes;
    const EntryShape* inner = FindEntry(file, takes.substr(0, takes.find('|')));
    if (inner == nullptr) continue;
    if (field->form == FieldShape::Form::kOne) FindUnknown(entry.value, file, *inner, unknown);
    for (const YamlNode& item : entry.value.items) FindUnknown(item, file, *inner, unknown);
    if (field->form != FieldShape::Form::kMap) continue;
    for (const YamlEntry& named : entry.value.entries) FindUnknown(named.value, file, *inner, unknown);
  }
}

// The examples of the guide, without what stands for more of the same.
std::vector<std::string> Examples() {
  std::vector<std::string> examples;
  std::istringstream guide(ReadAll(kGuide));
  bool inside = false;
  for (std::string line; std::getline(guide, line);) {
    if (line.starts_with("```")) {
      if (!inside) examples.emplace_back();
      inside = !inside;
    } else if (inside && line.find_first_not_of(" .") != std::string::npos) {
      if (const std::size_t more = line.find(", ...}"); more != std::string::npos) line.erase(more, 5);
      examples.back() += line + "\n";
    }
  }
  return examples;
}

TEST_CASE("the examples of the guide use keys of the loaders only, and every key of a rulebook's top") {
  std::set<std::string> unknown, tops;
  int walked = 0;
  const std::vector<FileShape> files = {RulebookShape(), CaseShape()};
  for (const std::string& example : Examples()) {
    INFO(example);
    Sources sources;
    Diagnostics diagnostics;
    const auto tree = ParseYaml(sources, sources.Add("README.md", example), diagnostics);
    INFO(RenderDiagnostics(diagnostics, sources));
    if (!tree || !tree->IsMap()) continue;  // several ways to write one and the same
    for (const FileShape& file : files) {
      if (FindField(file[0], tree->entries[0].key) == nullptr) continue;
      FindUnknown(*tree, file, file[0], unknown);
      ++walked;
      for (const YamlEntry& entry : tree->entries) tops.insert(file[0].kind + ": " + entry.key);
    }
  }
  CHECK(unknown == std::set<std::string>());
  CHECK(walked >= 10);
  const std::set<std::string> listed_below = {"rulebook", "version"};
  for (const FileShape& file : files) {
    for (const FieldShape& field : file[0].fields) {
      INFO(field.key);
      CHECK((tops.contains(file[0].kind + ": " + field.key) || listed_below.contains(field.key)));
    }
  }
}

}  // namespace
}  // namespace gearwhy
