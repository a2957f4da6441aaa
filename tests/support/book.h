// Rulebooks and cases from texts, for tests.
#pragma once

#include <optional>
#include <string>

#include "engine/files/load_case.h"
#include "engine/files/load_rulebook.h"
#include "engine/text/yaml.h"

namespace gearwhy {

// Everything a rulebook test needs to keep alive.
struct TestBook {
  Sources sources;
  Diagnostics diagnostics;
  std::optional<Rulebook> book;

  explicit TestBook(const std::string& text) {
    book = LoadRulebook({{"", {sources.Add("book.yaml", text)}}}, sources, diagnostics);
  }

  std::optional<Case> ReadCase(const std::string& id, const std::string& text) {
    const int source = sources.Add(id + ".yaml", text);
    const auto root = ParseYaml(sources, source, diagnostics);
    if (!root) return std::nullopt;
    const FindCase no_cases = [](const std::string&, const Place&) { return std::nullopt; };
    const FindUnit no_units = [](const std::string&, const Place&) { return nullptr; };
    return LoadCase(*root, id, *book, no_units, no_cases, diagnostics);
  }

  std::string Errors() const { return RenderDiagnostics(diagnostics, sources); }
};

}  // namespace gearwhy
