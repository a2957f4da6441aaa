// The unit that comes with the project: it loads, is sound, and has the arrangement that the other tests build in memory.
#include "engine/drivetrain/unit_check.h"
#include "engine/drivetrain/unit_facts.h"
#include "engine/model/load_unit.h"
#include "engine/model/load_words.h"
#include "engine/text/read_file.h"
#include "tests/drivetrain/units.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

std::optional<YamlNode> ReadYaml(const std::string& path, Sources& sources, Diagnostics& diagnostics) {
  const auto source = ReadSource(path, path, kMaxBookBytes, sources, diagnostics);
  if (!source) return std::nullopt;
  return ParseYaml(sources, *source, diagnostics);
}

TEST_CASE("the five-speed unit that comes with the project is sound and gives facts") {
  const std::string rules = std::string(GEARWHY_SOURCE_DIR) + "/rules";
  Sources sources;
  Diagnostics diagnostics;
  std::vector<YamlNode> roots;
  for (const std::string& path : ListYamlFiles(rules, diagnostics))
    if (path.find("/units/") == std::string::npos)
      if (auto root = ReadYaml(path, sources, diagnostics)) roots.push_back(std::move(*root));
  const Words words = LoadWords(roots, diagnostics);
  INFO(RenderDiagnostics(diagnostics, sources));
  REQUIRE_FALSE(diagnostics.HasErrors());

  const auto root = ReadYaml(rules + "/units/ravigneaux-simple-five-speed.yaml", sources, diagnostics);
  REQUIRE(root);
  const auto unit = LoadUnit(*root, words, diagnostics);
  INFO(RenderDiagnostics(diagnostics, sources));
  REQUIRE(unit);
  const UnitBehaviour behaviour = Analyse(*unit);
  CheckUnit(*unit, behaviour, diagnostics);
  for (const char* variant : {"", "light", "heavy"})
    CHECK(UnitFacts(*unit, variant, behaviour, words, diagnostics).size() > 200);
  INFO(RenderDiagnostics(diagnostics, sources));
  CHECK(diagnostics.Sorted().empty());

  const Unit built = FiveSpeed();
  REQUIRE(unit->ranges.size() == built.ranges.size());
  const UnitBehaviour expected = Analyse(built);
  for (const Range& range : built.ranges) {
    INFO(range.name);
    REQUIRE(unit->FindRange(range.name));
    CHECK(unit->FindRange(range.name)->applied == range.applied);
    CHECK(behaviour.FindRange(range.name)->driving.ratio == Approx(expected.FindRange(range.name)->driving.ratio));
  }
  for (const Part& part : unit->parts) {  // the light variant has one friction and one steel fewer in each pack
    if (part.kind != "frictions" && part.kind != "steels") continue;
    INFO(part.id);
    CHECK(part.count.at("light") + 1 == part.count.at("heavy"));
  }
}

}  // namespace
}  // namespace gearwhy
