// Config: which rulebook and which shop are meant where the command line does not say, and where the cache
// is.
//
// The shop: GEARWHY_SHOP, folders with `:` between them, none where it is set and empty; else the config
// file. That is `gearwhy/config.toml` in XDG_CONFIG_HOME, or else in ~/.config (XDG Base Directory
// Specification), read by CLI11:
//
//   shop = ["~/our-shop", "~/our-shop/trucks"]   # or one folder; relative to the file
//   rules = "~/our-rulebook"
//
// The cache: `gearwhy` in XDG_CACHE_HOME, or else in ~/.cache; none where GEARWHY_NO_CACHE is set to
// anything.
// Errors: a key that it has not, and a file that is no such file.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace gearwhy {

struct Config {
  std::string rules;              // empty: not said
  std::vector<std::string> shop;  // in the order in which they are laid
};

// What the environment and the config file say; a missing file says nothing. Nothing after setting `why`.
std::optional<Config> ReadConfig(std::string* why);

// The folder of the cache, which need not be there; empty: none is wanted, or nobody says where.
std::string CacheFolder();

}  // namespace gearwhy
