// The guide to the rulebook quotes the shares of trust, the scale and the circumstances that are shipped.
#include <cmath>
#include <sstream>

#include "engine/files/read_value.h"
#include "engine/text/yaml.h"
#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/shipped.h"

namespace gearwhy {
namespace {

// The guide's text from a line that begins with `key` to the next line that is not indented, as YAML.
YamlNode Quoted(const std::string& key, ShippedBook& shipped) {
  std::istringstream guide(ReadAll(GEARWHY_SOURCE_DIR "/rules/README.md"));
  std::string quoted;
  for (std::string line; std::getline(guide, line);) {
    if (!quoted.empty() && !line.starts_with(' ')) break;
    if (!quoted.empty() || line.starts_with(key + ":")) quoted += line + "\n";
  }
  const auto root = ParseYaml(shipped.sources, shipped.sources.Add("README.md", quoted), shipped.diagnostics);
  INFO(shipped.Errors());
  REQUIRE(root);
  REQUIRE(root->entries.size() == 1);
  return root->entries[0].value;
}

std::string TextOf(const YamlNode& map, const char* key) {
  const YamlNode* node = map.Find(key);
  return node == nullptr ? "" : node->text;
}

double ChanceOf(const YamlNode& map, const char* key, ShippedBook& shipped) {
  const YamlNode* node = map.Find(key);
  REQUIRE(node != nullptr);
  return ReadChance(*node, shipped.book->words.how_often, shipped.diagnostics).value_or(-1);
}

TEST_CASE("the guide quotes every trust with its shipped shares") {
  ShippedBook shipped;
  const YamlNode quoted = Quoted("trust", shipped);
  const std::vector<Trust>& trusts = shipped.book->words.trusts;
  REQUIRE(quoted.entries.size() == trusts.size());
  for (std::size_t i = 0; i < trusts.size(); ++i) {
    const YamlNode& one = quoted.entries[i].value;
    INFO(trusts[i].name);
    CHECK(quoted.entries[i].key == trusts[i].name);
    CHECK(ChanceOf(one, "noticed", shipped) == trusts[i].p_noticed);
    CHECK(ChanceOf(one, "mistaken", shipped) == trusts[i].p_mistaken);
    CHECK((TextOf(one, "direct") == "true") == trusts[i].direct);
    CHECK(TextOf(one, "says") == trusts[i].says);
  }
}

TEST_CASE("the guide's table of how often is the shipped scale") {
  const ShippedBook shipped;
  const auto& scale = shipped.book->words.how_often;
  std::istringstream guide(ReadAll(GEARWHY_SOURCE_DIR "/rules/README.md"));
  std::size_t rows = 0;
  for (std::string line; std::getline(guide, line);) {
    std::istringstream row(line);
    std::string bar, word, of_a_hundred;
    row >> bar >> word >> bar >> of_a_hundred;
    if (!line.starts_with("| ") || of_a_hundred.find_first_not_of("0123456789") != std::string::npos)
      continue;
    ++rows;
    INFO(line);
    REQUIRE(scale.contains(word));
    CHECK(std::abs(std::stod(of_a_hundred) / 100 - scale.at(word)) < 1e-9);
  }
  CHECK(rows == scale.size());
}

TEST_CASE("the guide quotes the circumstances with what they hide") {
  ShippedBook shipped;
  const YamlNode quoted = Quoted("circumstances", shipped);
  REQUIRE(quoted.entries.size() == 2);
  for (const YamlEntry& entry : quoted.entries) {
    INFO(entry.key);
    REQUIRE(shipped.book->words.circumstances.contains(entry.key));
    const Circumstance& circumstance = shipped.book->words.circumstances.at(entry.key);
    CHECK(TextOf(entry.value, "opposite") == circumstance.opposite);
    CHECK(TextOf(entry.value, "shown_by") == circumstance.shown_by);
    CHECK(ChanceOf(entry.value, "missed", shipped) == circumstance.p_missed);
    CHECK(ChanceOf(entry.value, "missed_unasked", shipped) == circumstance.p_missed_unasked);
  }
}

}  // namespace
}  // namespace gearwhy
