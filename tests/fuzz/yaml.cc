// Fuzz target: any text as YAML. In: one text. A tree comes out, or located, harmless errors.
#include "tests/fuzz/target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace gearwhy;
  Sources sources;
  Diagnostics diagnostics;
  const auto tree = ParseYaml(sources, sources.Add("any.yaml", TextOf(data, size)), diagnostics);
  MustHaveAnswered(tree.has_value(), diagnostics, sources);
  if (tree) Must(WrongInTree(*tree, sources));
  return 0;
}
