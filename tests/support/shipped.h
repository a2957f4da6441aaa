// The shipped rulebook and units, for tests that hold what it knows.
#pragma once

#include <memory>
#include <string>

#include "engine/api/book.h"
#include "tests/support/catch.h"

namespace gearwhy {

struct ShippedBook {
  Sources sources;
  Diagnostics diagnostics;
  std::unique_ptr<const Book> opened;
  const Rulebook* book = nullptr;
  const UnitShelf* shelf = nullptr;

  ShippedBook() {
    opened = Book::Open({{GEARWHY_SOURCE_DIR "/rules", "rules"}}, sources, diagnostics);
    INFO(Errors());
    REQUIRE(opened);
    book = &opened->rules();
    shelf = &opened->units();
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
