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
#include <optional>

#include "engine/text/folder_names.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace fs = std::filesystem;
namespace {

constexpr const char* kThereAlready = "there is such a file already";
constexpr const char* kNoRegularFile = "it is no regular file";

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
  int error = 0;
  for (const std::string& name : NamesInFolder(folder.string(), &error)) {
    if (!name.starts_with(prefix) || name.size() != prefix.size() + 6) continue;
    const fs::path path = folder / name;
    const File file(::open(path.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
    struct stat status {};
    if (file.get() < 0 || ::fstat(file.get(), &status) != 0 || !S_ISREG(status.st_mode)) continue;
    if (::flock(file.get(), LOCK_EX | LOCK_NB) == 0) ::unlink(path.c_str());
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

// The mode and, where we may, the owner of the old file; for a new one what the user's mask leaves. A private
// one has that of a temporary.
bool GiveMode(int descriptor, const struct stat* old, WriteMode wanted) {
  if (wanted == WriteMode::kPrivate) return true;
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

bool Flush(int descriptor, WriteMode wanted) {
  return wanted == WriteMode::kPrivate || ::fsync(descriptor) == 0;
}

// Moves the temporary to a name that nobody has yet. False with EEXIST when somebody has.
bool MoveToNewName(const std::string& temporary, const fs::path& target) {
  // link() refuses to write over what came into being meanwhile, rename() does not.
  if (::link(temporary.c_str(), target.c_str()) == 0) {
    ::unlink(temporary.c_str());
    return true;
  }
  if (errno != EPERM && errno != EOPNOTSUPP && errno != ENOSYS && errno != EMLINK) return false;
  // A file system without hard links (a memory stick): a rename that refuses likewise.
  if (::renameat2(AT_FDCWD, temporary.c_str(), AT_FDCWD, target.c_str(), RENAME_NOREPLACE) == 0) return true;
  if (errno != EINVAL && errno != ENOSYS && errno != EOPNOTSUPP) return false;
  // Without that, too, the name is taken by an empty file, which only one writer can make. A kill just here
  // leaves it empty; nothing else is lost.
  const File claim(::open(target.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600));
  return claim.get() >= 0 && ::rename(temporary.c_str(), target.c_str()) == 0;
}

// One try. On failure errno says why.
bool WriteOnce(const fs::path& target, const struct stat* old, std::string_view text, WriteMode mode) {
  const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
  const std::string prefix = TemporaryPrefix(target);
  SweepStale(folder, prefix);
  std::string temporary = (folder / (prefix + "XXXXXX")).string();
  File file(::mkostemp(temporary.data(), O_CLOEXEC));
  if (file.get() < 0) return false;
  bool good = ::flock(file.get(), LOCK_EX | LOCK_NB) == 0 || errno == ENOLCK || errno == EOPNOTSUPP ||
              errno == ENOSYS;
  good = good && WriteAll(file.get(), text) && GiveMode(file.get(), old, mode) && Flush(file.get(), mode);
  good = good && file.Close();
  good = good && (mode == WriteMode::kNew ? MoveToNewName(temporary, target)
                                          : ::rename(temporary.c_str(), target.c_str()) == 0);
  if (!good) {
    const int error = errno;
    ::unlink(temporary.c_str());
    errno = error;
    return false;
  }
  const File directory(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  // The text is in its place; some file systems cannot flush a folder.
  if (directory.get() >= 0) Flush(directory.get(), mode);
  return true;
}

// The file that is written when the path is: where its symlinks lead. A symlink to nothing yet is followed,
// too: the file comes into being where it points. On failure `why` says so.
std::optional<fs::path> TargetOf(const std::string& path, std::string* why) {
  std::error_code error;
  fs::path target = path;
  for (int links = 0; fs::is_symlink(fs::symlink_status(target, error)); ++links) {
    if (links == 40) {
      *why = std::strerror(ELOOP);
      return std::nullopt;
    }
    const fs::path next = fs::read_symlink(target, error);
    if (error) {
      *why = error.message();
      return std::nullopt;
    }
    target = next.is_absolute() ? next : target.parent_path() / next;
  }
  return target;
}

// Another writer may take our temporary for a dead one's in the moment before it is locked: then again. It is
// gone (ENOENT), or the other still holds it (EWOULDBLOCK).
bool WriteWhole(const fs::path& target, const struct stat* old, std::string_view text, WriteMode mode) {
  for (int tries = 0; tries < 20; ++tries) {
    if (WriteOnce(target, old, text, mode)) return true;
    struct stat folder {};
    const fs::path parent = target.has_parent_path() ? target.parent_path() : fs::path(".");
    const int error = errno;
    const bool swept = (error == ENOENT || error == EWOULDBLOCK) && ::stat(parent.c_str(), &folder) == 0;
    errno = error;
    if (!swept) return false;
  }
  return false;
}

// Waits for the lock on a file, at most `kLongestWait`. True also on a file system that knows no locks: what
// is then left open is the moment between comparing and renaming. False when somebody keeps it.
constexpr int kLongestWait = 500;  // steps of 10 ms
bool WaitForLock(int descriptor) {
  for (int waited = 0; waited < kLongestWait; ++waited) {
    if (::flock(descriptor, LOCK_EX | LOCK_NB) == 0) return true;
    if (errno != EWOULDBLOCK && errno != EINTR) return true;
    ::usleep(10'000);
  }
  return false;
}

// Whether the open file is still the one that the path names.
bool IsStillNamed(int descriptor, const fs::path& target) {
  struct stat opened {
  }, named{};
  return ::fstat(descriptor, &opened) == 0 && ::stat(target.c_str(), &named) == 0 &&
         opened.st_dev == named.st_dev && opened.st_ino == named.st_ino;
}

// Whether the file holds just this text; nothing, with errno, when it cannot be read.
std::optional<bool> Holds(int descriptor, std::string_view text) {
  char buffer[64 * 1024];
  for (;;) {
    const ssize_t count = ::read(descriptor, buffer, sizeof buffer);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return std::nullopt;
    if (count == 0) return text.empty();
    const std::string_view piece(buffer, static_cast<std::size_t>(count));
    if (!text.starts_with(piece)) return false;
    text.remove_prefix(piece.size());
  }
}

}  // namespace

bool WriteFile(const std::string& path, std::string_view text, WriteMode mode, std::string* why) {
  const auto fail = [&](const std::string& reason) {
    *why = InTicks(path, 200) + " cannot be written: " + reason;
    return false;
  };
  std::string reason;
  const auto target = TargetOf(path, &reason);
  if (!target) return fail(reason);
  struct stat status {};
  const bool exists = ::stat(target->c_str(), &status) == 0;
  if (!exists && errno != ENOENT) return fail(std::strerror(errno));
  if (exists && mode == WriteMode::kNew) return fail(kThereAlready);
  if (exists && !S_ISREG(status.st_mode)) return fail(kNoRegularFile);
  if (exists && ::access(target->c_str(), W_OK) != 0) return fail(std::strerror(errno));
  if (WriteWhole(*target, exists ? &status : nullptr, text, mode)) return true;
  return fail(errno == EEXIST ? kThereAlready : std::strerror(errno));
}

Replaced ReplaceText(const std::string& path, const std::optional<std::string>& before, std::string_view text,
                     std::string* why) {
  const auto fail = [&](const std::string& reason) {
    *why = InTicks(path, 200) + " cannot be written: " + reason;
    return Replaced::kFailed;
  };
  std::string reason;
  const auto target = TargetOf(path, &reason);
  if (!target) return fail(reason);
  for (;;) {
    const File file(::open(target->c_str(), O_RDWR | O_NONBLOCK | O_CLOEXEC | O_NOCTTY));
    if (file.get() < 0 && errno == ENOENT) {
      // Whoever made it anew meanwhile has made it otherwise.
      if (WriteWhole(*target, nullptr, text, WriteMode::kNew)) return Replaced::kDone;
      return errno == EEXIST ? Replaced::kOtherText : fail(std::strerror(errno));
    }
    if (!before) return Replaced::kOtherText;
    if (file.get() < 0) return fail(errno == EISDIR ? kNoRegularFile : std::strerror(errno));
    struct stat status {};
    if (::fstat(file.get(), &status) != 0) return fail(std::strerror(errno));
    if (!S_ISREG(status.st_mode)) return fail(kNoRegularFile);
    if (!WaitForLock(file.get())) return fail("another program keeps it locked");
    // The writer we waited for has put another file in its place: the lock is wanted on that.
    if (!IsStillNamed(file.get(), *target)) continue;
    const std::optional<bool> same = Holds(file.get(), *before);
    if (!same) return fail(std::strerror(errno));
    if (!*same) return Replaced::kOtherText;
    return WriteWhole(*target, &status, text, WriteMode::kReplace) ? Replaced::kDone
                                                                   : fail(std::strerror(errno));
  }
}

}  // namespace gearwhy
