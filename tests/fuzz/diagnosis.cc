// Fuzz target: a whole diagnosis on a small rulebook. In: texts of a rulebook, one of them perhaps a unit
// (it begins with `unit:`), and last a case. With the case alone, the rulebook is a small one of the tests.
// The limits of the solver are low, so that large networks are met with as well.
#include <fstream>
#include <iterator>

#include "engine/chain/chain.h"
#include "engine/files/load_case.h"
#include "engine/files/load_rulebook.h"
#include "engine/files/load_unit.h"
#include "tests/fuzz/reports.h"

namespace gearwhy {
namespace {

std::string SmallBook() {
  std::ifstream file(GEARWHY_SOURCE_DIR "/tests/cli/books/lamp.yaml");
  return std::string(std::istreambuf_iterator<char>(file), {});
}

struct Material {
  std::optional<Rulebook> book;
  std::optional<Unit> unit;
  std::optional<Case> c;
};

Material ReadMaterial(std::vector<std::string> parts, Sources& sources, Diagnostics& diagnostics) {
  static const std::string kSmallBook = SmallBook();
  if (parts.size() == 1) parts.insert(parts.begin(), kSmallBook);
  Material read;
  std::vector<int> of_book;
  std::optional<YamlNode> of_unit;
  for (std::size_t i = 0; i + 1 < parts.size(); ++i) {
    const int source = sources.Add("book.yaml", parts[i]);
    if (!parts[i].starts_with("unit:")) of_book.push_back(source);
    if (parts[i].starts_with("unit:")) of_unit = ParseYaml(sources, source, diagnostics);
  }
  read.book = LoadRulebook({{"", of_book}}, sources, diagnostics);
  if (!read.book) return read;
  CheckStrata(read.book->rules, diagnostics);
  if (of_unit) read.unit = LoadUnit(*of_unit, read.book->words, diagnostics);
  const auto root = ParseYaml(sources, sources.Add("case.yaml", parts.back()), diagnostics);
  if (!root || diagnostics.HasErrors()) return read;
  const FindCase no_cases = [&](const std::string&, const Place& place) {
    diagnostics.Error(place, "no-case", "there is no other case");
    return std::nullopt;
  };
  const FindUnit find_unit = [&](const std::string& name, const Place& place) {
    if (read.unit && read.unit->name == name) return &*read.unit;
    diagnostics.Error(place, "no-unit", "there is no such unit");
    return static_cast<Unit*>(nullptr);
  };
  read.c = LoadCase(*root, "any", *read.book, find_unit, no_cases, diagnostics);
  return read;
}

}  // namespace
}  // namespace gearwhy

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace gearwhy;
  Sources sources;
  Diagnostics diagnostics;
  const Material read = ReadMaterial(PartsOf(TextOf(data, size)), sources, diagnostics);
  MustHaveAnswered(read.c.has_value(), diagnostics, sources);
  if (!read.c) return 0;
  std::optional<UnitKnowledge> known;
  if (!read.c->unit.empty()) known = KnowUnit(*read.unit, diagnostics);
  MustHaveAnswered(known.has_value() || read.c->unit.empty(), diagnostics, sources);
  if (diagnostics.HasErrors()) return 0;
  BeliefLimits limits;
  limits.max_width = 8;
  limits.answer_work = 1e4;
  const auto diagnosis = Diagnose(*read.book, known ? &*known : nullptr, *read.c, limits, diagnostics);
  MustHaveAnswered(diagnosis.has_value(), diagnostics, sources);
  if (diagnosis) MustReport(*diagnosis, sources);
  return 0;
}
