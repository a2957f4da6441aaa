#include "engine/text/write_file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>

#include "engine/text/safe_text.h"

namespace gearwhy {
namespace fs = std::filesystem;
namespace {

// Closes unless it was closed with its error looked at.
class File {
 public:
  explicit File(int descriptor) : descriptor_(descriptor) {}
  File(const File&) = delete;
  File& operator=(const File&) = delete;
  ~File() {
    if (descriptor_ >= 0) ::close(descriptor_);
  }
  int get() const { return descriptor_; }
  bool Close() {
    const int descriptor = descriptor_;
    descriptor_ = -1;
    return ::close(descriptor) == 0;
  }

 private:
  int descriptor_;
};

std::string TemporaryPrefix(const fs::path& target) { return "." + target.filename().string() + ".saving-"; }

// A temporary that nobody holds a lock on belongs to a writer that is gone.
void SweepStale(const fs::path& folder, const std::string& prefix) {
  std::error_code error;
  for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error)) {
    const std::string name = it->path().filename().string();
    if (!name.starts_with(prefix) || name.size() != prefix.size() + 6) continue;
    const File file(::open(it->path().c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
    struct stat status {};
    if (file.get() < 0 || ::fstat(file.get(), &status) != 0 || !S_ISREG(status.st_mode)) continue;
    if (::flock(file.get(), LOCK_EX | LOCK_NB) == 0) ::unlink(it->path().c_str());
  }
}

bool WriteAll(int descriptor, std::string_view text) {
  while (!text.empty()) {
    const ssize_t written = ::write(descriptor, text.data(), text.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return false;
    text.remove_prefix(static_cast<std::size_t>(written));
  }
  return true;
}

// The mode and, where we may, the owner of the old file; for a new one what the user's mask leaves.
bool GiveMode(int descriptor, const struct stat* old) {
  if (old == nullptr) {
    const mode_t mask = ::umask(0);
    ::umask(mask);
    return ::fchmod(descriptor, 0666 & ~mask) == 0;
  }
  if ((old->st_uid != ::geteuid() || old->st_gid != ::getegid()) &&
      ::fchown(descriptor, old->st_uid, old->st_gid) != 0) {
    // Somebody else's file that we may write: it becomes ours.
  }
  return ::fchmod(descriptor, old->st_mode & 07777) == 0;
}

// One try. On failure errno says why.
bool WriteOnce(const fs::path& target, const struct stat* old, std::string_view text, WriteMode mode) {
  const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
  const std::string prefix = TemporaryPrefix(target);
  SweepStale(folder, prefix);
  std::string temporary = (folder / (prefix + "XXXXXX")).string();
  File file(::mkostemp(temporary.data(), O_CLOEXEC));
  if (file.get() < 0) return false;
  bool good = ::flock(file.get(), LOCK_EX | LOCK_NB) == 0 || errno == ENOLCK || errno == EOPNOTSUPP;
  good = good && WriteAll(file.get(), text) && GiveMode(file.get(), old) && ::fsync(file.get()) == 0;
  good = good && file.Close();
  // link() refuses to write over what came into being meanwhile, rename() does not.
  if (good && mode == WriteMode::kNew) {
    good = ::link(temporary.c_str(), target.c_str()) == 0;
    const int error = errno;
    ::unlink(temporary.c_str());
    errno = error;
  } else if (good) {
    good = ::rename(temporary.c_str(), target.c_str()) == 0;
  }
  if (!good) {
    const int error = errno;
    ::unlink(temporary.c_str());
    errno = error;
    return false;
  }
  const File directory(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  // The text is in its place; some file systems cannot flush a folder.
  if (directory.get() >= 0) ::fsync(directory.get());
  return true;
}

}  // namespace

bool WriteFile(const std::string& path, std::string_view text, WriteMode mode, std::string* why) {
  const auto fail = [&](const std::string& reason) {
    *why = InTicks(path, 200) + " cannot be written: " + reason;
    return false;
  };
  std::error_code error;
  fs::path target = path;
  // A symlink to nothing yet is followed, too: the file comes into being where it points.
  for (int links = 0; fs::is_symlink(fs::symlink_status(target, error)); ++links) {
    if (links == 40) return fail(std::strerror(ELOOP));
    const fs::path next = fs::read_symlink(target, error);
    if (error) return fail(error.message());
    target = next.is_absolute() ? next : target.parent_path() / next;
  }
  struct stat status {};
  const bool exists = ::stat(target.c_str(), &status) == 0;
  if (!exists && errno != ENOENT) return fail(std::strerror(errno));
  if (exists && mode == WriteMode::kNew) return fail("there is such a file already");
  if (exists && !S_ISREG(status.st_mode)) return fail("it is no regular file");
  if (exists && ::access(target.c_str(), W_OK) != 0) return fail(std::strerror(errno));
  const struct stat* old = exists ? &status : nullptr;
  if (WriteOnce(target, old, text, mode)) return true;
  // Another writer may have taken our temporary for a dead one's in the moment before it was locked.
  if (errno == ENOENT && WriteOnce(target, old, text, mode)) return true;
  return fail(errno == EEXIST ? "there is such a file already" : std::strerror(errno));
}

}  // namespace gearwhy
