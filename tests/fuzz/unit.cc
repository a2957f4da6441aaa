// Fuzz target: any text as a unit, with the words of the shipped rulebook; what its gearsets do is worked
// out.
#include "engine/files/load_unit.h"
#include "tests/fuzz/shipped_book.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace gearwhy;
  const OpenedBook& shipped = ShippedBookOnce();
  Sources sources(&shipped.sources);
  Diagnostics diagnostics;
  const auto root = ParseYaml(sources, sources.Add("unit.yaml", TextOf(data, size)), diagnostics);
  const auto unit = root ? LoadUnit(*root, shipped.book->rules().words, diagnostics) : std::nullopt;
  MustHaveAnswered(unit.has_value(), diagnostics, sources);
  if (unit) {
    const auto known = KnowUnit(*unit, diagnostics);
    MustHaveAnswered(known.has_value(), diagnostics, sources);
  }
  return 0;
}
