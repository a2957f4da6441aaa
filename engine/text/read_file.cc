#include "engine/text/read_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <filesystem>
#include <system_error>
#include <utility>

#include "engine/text/folder_names.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

constexpr int kNameColumns = 200;  // a file name is shown whole unless it is absurd

std::string Reason(int error) {
  switch (error) {
    case ENOENT:
    case ENOTDIR:
      return "there is no such file";
    case EACCES:
    case EPERM:
      return "there is no permission to read it";
    case ELOOP:
      return "its symbolic links go in a circle";
    case ENAMETOOLONG:
      return "the name is too long";
    default:
      return std::generic_category().message(error);
  }
}

std::string SizeText(std::size_t bytes) {
  if (bytes >= (1u << 20) && bytes % (1u << 20) == 0) return fmt::format("{} MiB", bytes >> 20);
  return fmt::format("{} bytes", bytes);
}

// A file descriptor that closes itself.
class File {
 public:
  // Not blocking, so that a FIFO without a writer does not hold us up before we know what it is.
  explicit File(const std::string& path)
      : number_(::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY)) {}
  ~File() {
    if (number_ >= 0) ::close(number_);
  }
  File(const File&) = delete;
  File& operator=(const File&) = delete;
  int number() const { return number_; }

 private:
  int number_;
};

// Reads up to `most` bytes; false leaves the reason in errno.
bool ReadUpTo(int file, std::size_t most, std::string* text) {
  char buffer[64 * 1024];
  while (text->size() < most) {
    const ssize_t count = ::read(file, buffer, std::min(sizeof buffer, most - text->size()));
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return false;
    if (count == 0) break;
    text->append(buffer, static_cast<std::size_t>(count));
  }
  return true;
}

bool IsYamlName(const fs::path& name) { return name.extension() == ".yaml" || name.extension() == ".yml"; }

void List(const fs::path& folder, std::vector<std::string>* found, Diagnostics& diagnostics) {
  int error = 0;
  for (const std::string& name : NamesInFolder(folder.string(), &error)) {
    if (name.starts_with('.')) continue;
    const fs::path path = folder / name;
    std::error_code ignored;  // what cannot be looked at is listed, and reported by whoever reads it
    if (fs::is_directory(path, ignored)) {
      if (!fs::is_symlink(path, ignored)) List(path, found, diagnostics);
    } else if (IsYamlName(path)) {
      found->push_back(path.generic_string());
    }
  }
  if (error != 0) {
    const std::string shown = InTicks(folder.string(), kNameColumns);
    diagnostics.Error(Place{}, "unreadable-folder",
                      fmt::format("cannot read the folder {}: {}", shown,
                                  error == ENOENT    ? "there is no such folder"
                                  : error == ENOTDIR ? "it is not a folder"
                                                     : Reason(error)));
  }
}

}  // namespace

std::optional<std::string> ReadText(const std::string& path, const std::string& shown_as,
                                    std::size_t max_bytes, Diagnostics& diagnostics) {
  const std::string shown = InTicks(shown_as, kNameColumns);
  const auto fail = [&](const std::string& reason) {
    diagnostics.Error(Place{}, "unreadable-file", fmt::format("cannot read {}: {}", shown, reason));
    return std::nullopt;
  };
  if (path.find('\0') != std::string::npos) return fail("the name holds a zero byte");

  const File file(path);
  if (file.number() < 0) return fail(Reason(errno));
  struct stat status {};
  if (::fstat(file.number(), &status) != 0) return fail(Reason(errno));
  if (S_ISDIR(status.st_mode)) return fail("it is a folder");
  if (!S_ISREG(status.st_mode)) return fail("it is not a regular file");

  std::string text;
  if (!ReadUpTo(file.number(), max_bytes + 1, &text)) return fail(Reason(errno));
  if (text.size() > max_bytes) {
    diagnostics.Error(Place{}, "large-file",
                      fmt::format("{} is too large; at most {} are read", shown, SizeText(max_bytes)));
    return std::nullopt;
  }
  return text;
}

std::optional<int> ReadSource(const std::string& path, const std::string& shown_as, std::size_t max_bytes,
                              Sources& sources, Diagnostics& diagnostics) {
  auto text = ReadText(path, shown_as, max_bytes, diagnostics);
  if (!text) return std::nullopt;
  return sources.Add(shown_as, std::move(*text));
}

std::vector<std::string> ListYamlFiles(const std::string& folder, Diagnostics& diagnostics) {
  std::vector<std::string> found;
  List(folder, &found, diagnostics);
  std::sort(found.begin(), found.end());
  return found;
}

}  // namespace gearwhy
