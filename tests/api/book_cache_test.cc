// An opened book is the same with a cache and without, whatever has changed since it was kept.
#include <fmt/format.h>
#include <sys/stat.h>

#include <functional>

#include "engine/api/book.h"
#include "engine/api/gearwhy.h"
#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

std::string Words(const std::string& says) {
  return "rulebook: small\nversion: 1\nevents:\n  slips: {type: finding, says: it " + says + "}\n";
}
constexpr const char* kChart =
    "charts:\n  - {id: slip, symptom: slips, unexplained: 1%, causes: [], because: It does.}\n"
    "trust:\n  customer: {noticed: 90%, mistaken: 10%, says: the customer says so}\n"
    "access:\n  in_car: {says: in the car}\n";

// A small rulebook, opened with a cache and without.
struct Small {
  TemporaryFolder folder;
  std::vector<BookFolder> layers = {{folder.Path("book"), "book"}};
  fs::path kept = folder.path() / "cache";

  Small() {
    folder.Write("book/words.yaml", Words("slips"));
    folder.Write("book/more/charts.yaml", kChart);
  }
  // What can be told of it: its files with their hashes, what it says, and what is wrong.
  std::string Told(const std::string& cache) const {
    Sources sources;
    Diagnostics diagnostics;
    const auto book = Book::Open(layers, sources, diagnostics, std::nullopt, cache);
    std::string told = RenderDiagnostics(diagnostics, sources);
    if (book == nullptr) return told + "no book";
    for (const BookFile& file : book->rules().files) told += fmt::format("{} {}\n", file.name, file.sha256);
    for (const auto& [name, word] : book->rules().words.words)
      told += fmt::format("{}: {} {}\n", name, word.says, sources.Describe(word.place));
    for (const Chart& chart : book->rules().charts) told += sources.Describe(chart.place) + "\n";
    return told;
  }
  std::size_t Files() const {
    return fs::exists(kept) ? static_cast<std::size_t>(
                                  std::distance(fs::directory_iterator(kept), fs::directory_iterator()))
                            : 0;
  }
  // The same without the cache, with it cold or at another state, and warm.
  void CheckSame(const std::string& saying) const {
    const std::string told = Told("");
    CHECK_THAT(told, ContainsSubstring(saying));
    CHECK(Told(kept.string()) == told);
    CHECK(Told(kept.string()) == told);
  }
};

TEST_CASE("a book is kept once, and found again") {
  const Small small;
  small.CheckSame("slips: it slips book/words.yaml:4");
  REQUIRE(small.Files() == 1);
  const fs::path file = fs::directory_iterator(small.kept)->path();
  const auto made = fs::last_write_time(file);
  small.CheckSame("it slips");
  CHECK(fs::last_write_time(file) == made);
  CHECK(small.Files() == 1);
}

TEST_CASE("whatever changes in the files is seen, however it is hidden") {
  const Small small;
  small.CheckSame("it slips");
  // As many bytes, and the time turned back.
  const fs::path words = small.folder.path() / "book/words.yaml";
  const auto time = fs::last_write_time(words);
  small.folder.Write("book/words.yaml", Words("skips"));
  fs::last_write_time(words, time);
  small.CheckSame("it skips");
  small.folder.Write("book/added.yaml", "events:\n  bangs: {type: fault, says: it bangs}\n");
  small.CheckSame("nothing says how common the fault `bangs` is");
  small.folder.Write("book/added.yaml", "facts:\n  towed: {says: it towed}\n");
  small.CheckSame("towed: it towed book/added.yaml:2");
  fs::rename(small.folder.Path("book/added.yaml"), small.folder.Path("book/again.yaml"));
  small.CheckSame("towed: it towed book/again.yaml:2");
  fs::remove(small.folder.Path("book/again.yaml"));
  CHECK(small.Told(small.kept.string()).find("towed") == std::string::npos);
}

TEST_CASE("other folders, other names for them and another order are other books") {
  Small small;
  small.CheckSame("book/words.yaml:4");
  small.layers[0].shown_as = "rules";
  small.CheckSame("rules/words.yaml:4");
  small.folder.Write("one/own.yaml", "changes:\n  - {tune: slip, to: {unexplained: 2%}, because: ours}\n");
  small.folder.Write("two/own.yaml", "facts:\n  towed: {says: it towed}\n");
  small.layers.push_back({small.folder.Path("one"), "one"});
  small.layers.push_back({small.folder.Path("two"), "two"});
  small.CheckSame("towed: it towed two/own.yaml:2");
  std::swap(small.layers[1], small.layers[2]);
  small.CheckSame("towed: it towed two/own.yaml:2");
  CHECK(small.Files() == 4);
}

TEST_CASE("a book of which something is wrong is not kept, and is told of each time") {
  const Small small;
  small.folder.Write("book/words.yaml", Words("slips") + "nonsense: 1\n");
  small.CheckSame("book/words.yaml:5:1: error");
  small.folder.Write("book/words.yaml", "rulebook: [");
  small.CheckSame("error");
  CHECK(small.Files() == 0);
}

TEST_CASE("a book without one of its entries is not kept") {
  Small small;
  small.folder.Write("one/own.yaml", "facts:\n  towed: {says: it towed}\n");
  small.layers.push_back({small.folder.Path("one"), "one"});
  Sources sources;
  Diagnostics diagnostics;
  const auto book = Book::Open(small.layers, sources, diagnostics, Place{2, 2, 3, 5}, small.kept.string());
  CHECK(small.Files() == 0);
}

TEST_CASE("the door keeps a book only where it is told to, and answers alike") {
  const TemporaryFolder folder;
  const std::string cache = folder.Path("cache");
  const auto answer = [&](const std::string& kept_in) {
    api::Messages messages;
    const auto book = api::Book::Open({GEARWHY_SOURCE_DIR "/rules"}, &messages, kept_in);
    REQUIRE(book);
    CHECK(messages.empty());
    const std::string text = ReadAll(GEARWHY_SOURCE_DIR "/cases/no-reverse-when-hot.yaml");
    const auto c = book->ReadCase(text, "no-reverse-when-hot");
    REQUIRE(c);
    return book->Diagnose(*c)->RankJson({.checks = 0});
  };
  const std::string without = answer("");
  CHECK(folder.Count() == 0);
  CHECK(answer(cache) == without);
  CHECK(std::distance(fs::directory_iterator(cache), fs::directory_iterator()) == 2);  // book and unit
  CHECK(answer(cache) == without);
}

}  // namespace
}  // namespace gearwhy
