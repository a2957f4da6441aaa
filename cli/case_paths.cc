// The case files that are named on the command line.
#include <fmt/format.h>

#include <filesystem>

#include "cli/commands.h"
#include "engine/text/read_file.h"

namespace gearwhy {

std::vector<std::string> ExpandCases(const std::vector<std::string>& named, Diagnostics& diagnostics) {
  std::vector<std::string> paths;
  for (const std::string& name : named) {
    std::error_code error;
    if (!std::filesystem::is_directory(name, error)) {
      paths.push_back(name);
      continue;
    }
    const std::vector<std::string> files = ListYamlFiles(name, diagnostics);
    if (files.empty() && !diagnostics.HasErrors()) {
      diagnostics.Error({}, "no-cases", fmt::format("there is no YAML file in `{}`", name));
    }
    paths.insert(paths.end(), files.begin(), files.end());
  }
  return paths;
}

}  // namespace gearwhy
