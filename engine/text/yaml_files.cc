// Several files at once: reading YAML is most of what a run takes, and files do not depend on each other.
#include <algorithm>
#include <atomic>
#include <thread>

#include "engine/text/yaml.h"

namespace gearwhy {

std::vector<std::optional<YamlNode>> ParseYamlFiles(const Sources& sources, const std::vector<int>& indices,
                                                    Diagnostics& diagnostics, const YamlLimits& limits) {
  std::vector<std::optional<YamlNode>> trees(indices.size());
  std::vector<Diagnostics> found(indices.size());
  std::atomic<std::size_t> next = 0;
  const auto work = [&] {
    for (std::size_t i = next++; i < indices.size(); i = next++) {
      trees[i] = ParseYaml(sources, indices[i], found[i], limits);
    }
  };
  const std::size_t cores = std::max(1u, std::thread::hardware_concurrency());
  std::vector<std::jthread> threads;
  for (std::size_t t = 1; t < std::min(cores, indices.size()); ++t) threads.emplace_back(work);
  work();
  threads.clear();  // waits for them
  for (const Diagnostics& of_file : found) diagnostics.Append(of_file);
  return trees;
}

}  // namespace gearwhy
