// The shipped rulebook and units, for tests that hold what it knows.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/files/load_rulebook.h"
#include "engine/files/unit_shelf.h"
#include "engine/text/read_file.h"
#include "tests/support/catch.h"

namespace gearwhy {

struct ShippedBook {
  Sources sources;
  Diagnostics diagnostics;
  std::optional<Rulebook> book;
  std::unique_ptr<UnitShelf> shelf;

  ShippedBook() {
    const std::string rules = GEARWHY_SOURCE_DIR "/rules";
    std::vector<int> read;
    for (const std::string& path : ListYamlFiles(rules, diagnostics)) {
      if (path.starts_with(rules + "/units/")) continue;
      if (const auto source = ReadSource(path, path, kMaxBookBytes, sources, diagnostics))
        read.push_back(*source);
    }
    book = LoadRulebook(read, sources, diagnostics);
    INFO(Errors());
    REQUIRE(book);
    shelf = std::make_unique<UnitShelf>(
        book->words, std::vector<UnitShelf::Folder>{{rules + "/units", "rules/units"}}, sources, diagnostics);
  }

  const Unit& UnitNamed(const std::string& name) {
    const Unit* unit = shelf->Find(name, {}, diagnostics);
    INFO(Errors());
    REQUIRE(unit != nullptr);
    return *unit;
  }

  std::string Errors() const { return RenderDiagnostics(diagnostics, sources); }
};

}  // namespace gearwhy
