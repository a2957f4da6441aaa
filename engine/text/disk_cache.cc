#include "engine/text/disk_cache.h"

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <utility>
#include <vector>

#include "engine/text/build_id.h"
#include "engine/text/read_file.h"
#include "engine/text/sha256.h"
#include "engine/text/write_file.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kHashDigits = 64;

bool IsOurs(const struct stat& status) { return status.st_uid == ::geteuid(); }

// Ours, and nobody else may do anything with it. A symbolic link is neither file nor folder.
bool IsPrivate(const fs::path& path, mode_t type) {
  struct stat status {};
  return ::lstat(path.c_str(), &status) == 0 && (status.st_mode & S_IFMT) == type && IsOurs(status) &&
         (status.st_mode & (S_IRWXG | S_IRWXO)) == 0;
}

bool IsOwnFolder(const fs::path& path) {
  struct stat status {};
  return ::stat(path.c_str(), &status) == 0 && S_ISDIR(status.st_mode) && IsOurs(status);
}

// Also the folder around it where that is missing, as ~/.cache may be; each in one of our own.
void MakeFolder(const fs::path& folder) {
  const fs::path around = folder.parent_path();
  std::error_code error;
  if (!fs::exists(around, error) && IsOwnFolder(around.parent_path())) ::mkdir(around.c_str(), S_IRWXU);
  if (IsOwnFolder(around)) ::mkdir(folder.c_str(), S_IRWXU);
}

// Whether a file is one of the cache's: called by a key, or the temporary of one.
bool IsNamedByKey(const std::string& name) {
  const std::string key = name.substr(name.starts_with('.') ? 1 : 0, kHashDigits);
  return key.size() == kHashDigits && key.find_first_not_of("0123456789abcdef") == std::string::npos;
}

void RemoveOldest(const fs::path& folder, std::size_t most) {
  std::vector<std::pair<fs::file_time_type, fs::path>> files;
  std::error_code error, ignored;
  for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error)) {
    if (IsNamedByKey(it->path().filename().string()))
      files.emplace_back(it->last_write_time(ignored), it->path());
  }
  if (files.size() <= most) return;
  std::sort(files.begin(), files.end());
  files.resize(files.size() - most);
  for (const auto& [time, path] : files) fs::remove(path, ignored);
}

}  // namespace

DiskCache::DiskCache(std::string folder)
    : folder_(std::move(folder)), build_(folder_.empty() ? "" : BuildId()) {
  if (build_.empty()) folder_.clear();
}

std::string DiskCache::KeyOf(std::string_view made_from) const {
  return Sha256Hex(fmt::format("{}\n{}", build_, made_from));
}

std::optional<std::string> DiskCache::Find(const std::string& key) const {
  const fs::path path = fs::path(folder_) / key;
  if (!IsOn() || !IsPrivate(folder_, S_IFDIR) || !IsPrivate(path, S_IFREG)) return std::nullopt;
  Diagnostics ignored;
  std::optional<std::string> text = ReadText(path.string(), path.string(), kMostBytes, ignored);
  if (!text || text->size() < 2 * kHashDigits) return std::nullopt;
  const std::string_view hash = std::string_view(*text).substr(0, kHashDigits);
  const std::string_view hashed = std::string_view(*text).substr(kHashDigits);
  // A file that was kept under another key has been renamed.
  if (!hashed.starts_with(key) || Sha256Hex(hashed) != hash) return std::nullopt;
  text->erase(0, 2 * kHashDigits);
  return text;
}

void DiskCache::Keep(const std::string& key, std::string_view bytes) const {
  if (!IsOn() || bytes.size() > kMostBytes - 2 * kHashDigits) return;
  MakeFolder(folder_);
  if (!IsPrivate(folder_, S_IFDIR)) return;
  const fs::path path = fs::path(folder_) / key;
  ::unlink(path.c_str());  // whatever is there is no good, and may be a link to something else
  std::string ignored;
  const std::string hashed = key + std::string(bytes);
  WriteFile(path.string(), Sha256Hex(hashed) + hashed, WriteMode::kPrivate, &ignored);
  RemoveOldest(folder_, kMostFiles);
}

}  // namespace gearwhy
