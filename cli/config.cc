#include "cli/config.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdlib>
#include <filesystem>

#include "engine/text/near_names.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

std::string Variable(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? "" : value;
}

// Our folder in the one that the variable names, or else in this one of the home; empty where there is no
// home.
std::string OurFolder(const char* variable, const char* in_home) {
  const std::string xdg = Variable(variable), home = Variable("HOME");
  // A path that is not absolute is none (XDG Base Directory Specification).
  if (xdg.starts_with('/')) return xdg + "/gearwhy";
  return home.empty() ? "" : home + "/" + in_home + "/gearwhy";
}

// A folder named in the file: `~/` is the home, and what is relative starts at the file.
std::string Folder(const std::string& named, const std::string& file) {
  if (named.starts_with("~/")) return Variable("HOME") + named.substr(1);
  return (fs::path(file).parent_path() / named).lexically_normal().string();
}

bool ReadFile(const std::string& path, Config& config, std::string* why) {
  const auto wrong = [&](const std::string& what) {
    *why = fmt::format("{}: {}", SafeLine(path), what);
    return false;
  };
  std::vector<CLI::ConfigItem> items;
  try {
    items = CLI::ConfigBase().from_file(path);
  } catch (const CLI::Error& error) {
    return wrong(SafeLine(error.what()));
  }
  for (const CLI::ConfigItem& item : items) {
    if (!item.parents.empty())
      return wrong(fmt::format("there are no sections in it, as `[{}]`", SafeLine(item.parents[0])));
    if (item.name != "shop" && item.name != "rules") {
      const std::vector<std::string> known = {"shop", "rules"};
      return wrong(fmt::format("it has no key {}{}", InTicks(item.name), Hint(item.name, known)));
    }
    if (item.name == "rules") {
      if (item.inputs.size() != 1) return wrong("`rules` is one folder");
      config.rules = Folder(item.inputs[0], path);
      continue;
    }
    for (const std::string& named : item.inputs) {
      if (!named.empty()) config.shop.push_back(Folder(named, path));
    }
  }
  return true;
}

}  // namespace

std::optional<Config> ReadConfig(std::string* why) {
  Config config;
  const std::string ours = OurFolder("XDG_CONFIG_HOME", ".config");
  const std::string path = ours + "/config.toml";
  std::error_code error;
  if (!ours.empty() && fs::is_regular_file(path, error) && !ReadFile(path, config, why)) return std::nullopt;
  if (const char* named = std::getenv("GEARWHY_SHOP"); named != nullptr) {
    config.shop.clear();
    for (const std::string& folder : CLI::detail::split(named, ':')) {
      if (!folder.empty()) config.shop.push_back(folder);
    }
  }
  return config;
}

std::string CacheFolder() {
  return Variable("GEARWHY_NO_CACHE").empty() ? OurFolder("XDG_CACHE_HOME", ".cache") : "";
}

}  // namespace gearwhy
