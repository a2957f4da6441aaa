// Fuzz target: any texts as the words and rules of a rulebook. In: a rulebook, and behind it a shop's layers.
#include "engine/chain/chain.h"
#include "engine/files/load_rulebook.h"
#include "tests/fuzz/target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace gearwhy;
  Sources sources;
  Diagnostics diagnostics;
  std::vector<BookLayer> layers;
  for (const std::string& part : PartsOf(TextOf(data, size)))
    layers.push_back({"layer", {sources.Add("book.yaml", part)}});
  const auto book = LoadRulebook(layers, sources, diagnostics);
  MustHaveAnswered(book.has_value(), diagnostics, sources);
  if (book) CheckStrata(book->rules, diagnostics);
  Must(WrongInMessages(diagnostics, sources));
  return 0;
}
