// Reading files with a cap, so that no device, pipe or giant stalls us.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "engine/text/diagnostic.h"
#include "engine/text/source.h"

namespace gearwhy {

inline constexpr std::size_t kMaxBookBytes = 4u << 20;
inline constexpr std::size_t kMaxCaseBytes = 1u << 20;

// Reads a regular file of at most `max_bytes`, called `shown_as` in messages. A missing file, a folder, a
// FIFO, no permission or too large a file is an error placed nowhere whose message names the file.
std::optional<std::string> ReadText(const std::string& path, const std::string& shown_as,
                                    std::size_t max_bytes, Diagnostics& diagnostics);
// The same into `sources`, under the name `shown_as`; its index.
std::optional<int> ReadSource(const std::string& path, const std::string& shown_as, std::size_t max_bytes,
                              Sources& sources, Diagnostics& diagnostics);

// The `.yaml` and `.yml` files below a folder, sorted by path, recursively, hidden ones and symlinked folders
// left out. A folder that cannot be read is an error placed nowhere.
std::vector<std::string> ListYamlFiles(const std::string& folder, Diagnostics& diagnostics);

}  // namespace gearwhy
