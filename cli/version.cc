// gearwhy --version: which program, which format of JSON, and which rulebook.
#include <fmt/format.h>

#include <algorithm>

#include "cli/commands.h"
#include "cli/config.h"
#include "engine/render/json.h"
#include "engine/text/read_file.h"
#include "engine/text/safe_text.h"
#include "engine/text/sha256.h"

namespace gearwhy {
namespace {

// What `sha256sum` says of what it says of all these files, each named from its folder on, wherever that
// lies.
std::string HashOf(const std::vector<BookFolder>& folders, Diagnostics& diagnostics) {
  std::string all;
  for (const BookFolder& folder : folders) {
    const std::string top = folder.path.substr(0, folder.path.find_last_not_of('/') + 1);
    std::vector<std::string> paths = ListYamlFiles(top, diagnostics);
    std::sort(paths.begin(), paths.end());
    for (const std::string& path : paths) {
      const std::string name = path.substr(top.rfind('/') + 1);
      const auto text = ReadText(path, name, kMaxBookBytes, diagnostics);
      if (text) all += fmt::format("{}  {}\n", Sha256Hex(*text), name);
    }
  }
  return Sha256Hex(all);
}

std::string AboutBook() {
  std::string why;
  const std::optional<Config> config = ReadConfig(&why);
  if (!config) return fmt::format("rulebook: not known, as the config file is wrong: {}", why);
  const std::vector<BookFolder> folders = FoldersOf({config->rules, config->shop});
  if (folders.empty()) return "rulebook: none; the shipped one is not where it should be";
  std::string about;
  for (const BookFolder& folder : folders)
    about += fmt::format("{}: {}\n", about.empty() ? "rulebook" : "shop", SafeLine(folder.path));
  Diagnostics diagnostics;
  const std::string hash = HashOf(folders, diagnostics);
  if (!diagnostics.HasErrors()) return about + fmt::format("sha256 of all these files: {}", hash);
  return about + diagnostics.Sorted().front().message;
}

}  // namespace

std::string VersionText() {
  return fmt::format("gearwhy {}\nJSON format: {}\n{}", GEARWHY_VERSION, kJsonFormat, AboutBook());
}

}  // namespace gearwhy
