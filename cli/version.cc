// gearwhy --version: which program, which format of JSON, and which rulebook.
#include <fmt/format.h>

#include "cli/commands.h"
#include "cli/config.h"
#include "engine/render/json.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

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
