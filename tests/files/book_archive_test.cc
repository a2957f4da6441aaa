// A rulebook and its units come back from bytes as they were: what comes back makes the same bytes again, and
// book_archive.cc does not compile where a field is left out.
#include "engine/files/book_archive.h"

#include "engine/api/book.h"
#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

// The file that is left of it, once kept and twice.
template <typename What>
void CheckComesBack(const What& what) {
  const TemporaryFolder once, twice;
  const DiskCache first(once.Path("cache")), second(twice.Path("cache"));
  const std::string key = first.KeyOf("it");
  KeepIn(first, key, what);
  const auto back = FindIn<What>(first, key);
  REQUIRE(back);
  KeepIn(second, key, *back);
  const std::string bytes = ReadAll(once.path() / "cache" / key);
  CHECK(bytes.size() > 1000);
  CHECK(bytes == ReadAll(twice.path() / "cache" / key));
}

TEST_CASE("the shipped rulebook and units come back as they were, and so does what a shop changed in them") {
  const TemporaryFolder shop;
  shop.Write("own.yaml", R"(changes:
  - {tune: moulded-lip-cracks, to: {chance: 3%}, because: ours crack}
  - {extend: simpson-three-speed, with: {parts: {line_filter: {kind: filter, says: the line filter}}}, because: ours has one}
)");
  Sources sources;
  Diagnostics diagnostics;
  const auto book = Book::Open({{GEARWHY_SOURCE_DIR "/rules", "rules"}, {shop.path().string(), "shop"}},
                               sources, diagnostics);
  INFO(RenderDiagnostics(diagnostics, sources));
  REQUIRE(book);
  CHECK(book->rules().layers.of_units.size() == 1);
  CheckComesBack(book->rules());
  for (const std::string& name : book->units().Names()) {
    INFO(name);
    const Unit* unit = book->units().Find(name, {}, diagnostics);
    REQUIRE(unit != nullptr);
    CheckComesBack(*unit);
  }
}

TEST_CASE("nothing comes back from where nothing is kept") {
  CHECK_FALSE(FindIn<Rulebook>(DiskCache(), "key"));
  KeepIn(DiskCache(), "key", Unit());
}

}  // namespace
}  // namespace gearwhy
