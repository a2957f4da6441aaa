// Disk cache: what was worked out from texts, kept in a folder so that the next run need not work it out
// again.
//
// In: a folder of the caller's choice. Out: the bytes that were kept under a key, or nothing; never other bytes.
// Method: a key is the SHA-256 of everything that the bytes were made from, and of which build of the program
// made them (build_id.h). So nothing ever goes out of date: whatever changes has another key. A file is
// called by its key, and begins with the SHA-256 of all that follows in it. Only a file that is the user's
// own and that nobody else may read or write is taken, in a folder of which the same holds; others are as if
// they were not there, as is a damaged one. A file is written beside its place and then renamed
// (write_file.h), so that any number of programs may find and keep at once. The folder is made when something
// is kept, in one that is the user's own; of its files the oldest go when there are more than 64.
// Cost: to find, reading the file and hashing it, about 1 ms a megabyte; to keep, writing it, not flushed.
// Errors: none. What cannot be kept is worked out again next time.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace gearwhy {

class DiskCache {
 public:
  static constexpr std::size_t kMostFiles = 64;
  static constexpr std::size_t kMostBytes = 64u << 20;  // of one file

  DiskCache() = default;  // keeps nothing
  // An empty name, too, keeps nothing.
  explicit DiskCache(std::string folder);

  bool IsOn() const { return !folder_.empty(); }
  // Of everything that the bytes are made from, in this build of the program.
  std::string KeyOf(std::string_view made_from) const;
  std::optional<std::string> Find(const std::string& key) const;
  void Keep(const std::string& key, std::string_view bytes) const;

 private:
  std::string folder_;
  std::string build_;
};

}  // namespace gearwhy
