// Several files at once: reading YAML is most of what a run takes, and files do not depend on each other.
#include "engine/text/at_once.h"
#include "engine/text/yaml.h"

namespace gearwhy {

std::vector<std::optional<YamlNode>> ParseYamlFiles(const Sources& sources, const std::vector<int>& indices,
                                                    Diagnostics& diagnostics, const YamlLimits& limits) {
  std::vector<std::optional<YamlNode>> trees(indices.size());
  std::vector<Diagnostics> found(indices.size());
  AtOnce(indices.size(), [&](std::size_t i) { trees[i] = ParseYaml(sources, indices[i], found[i], limits); });
  for (const Diagnostics& of_file : found) diagnostics.Append(of_file);
  return trees;
}

}  // namespace gearwhy
