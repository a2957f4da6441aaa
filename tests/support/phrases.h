// Phrases: complaints in people's own words and what each means (tests/advise/phrases-*.yaml), read.
#pragma once

#include <cstdlib>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "engine/text/yaml.h"

namespace gearwhy {

struct SaidPhrase {
  std::string said;
  // All that it says, each as readings of which any is right.
  std::vector<std::vector<std::string>> meant;
};

// By unit, in the order of the file. `half`: "tuning" or "held-out". Aborts where the file cannot be read.
inline std::vector<std::pair<std::string, std::vector<SaidPhrase>>> ReadPhrases(const std::string& half) {
  const std::string path = std::string(GEARWHY_SOURCE_DIR "/tests/advise/phrases-") + half + ".yaml";
  std::ifstream file(path);
  std::ostringstream text;
  text << file.rdbuf();
  Sources sources;
  Diagnostics diagnostics;
  const auto root = ParseYaml(sources, sources.Add(path, text.str()), diagnostics);
  if (!root) std::abort();
  std::vector<std::pair<std::string, std::vector<SaidPhrase>>> by_unit;
  for (const YamlEntry& unit : root->entries) {
    by_unit.emplace_back(unit.key, std::vector<SaidPhrase>());
    for (const YamlNode& item : unit.value.items) {
      SaidPhrase phrase{item.Find("said")->text, {}};
      for (const YamlNode& one : item.Find("meant")->items) {
        phrase.meant.emplace_back();
        for (const YamlNode& reading : one.items) phrase.meant.back().push_back(reading.text);
      }
      by_unit.back().second.push_back(std::move(phrase));
    }
  }
  return by_unit;
}

}  // namespace gearwhy
