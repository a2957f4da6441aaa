// Writing a file so that at every moment either the old text or the new one stands there whole.
//
// Method: a symlink is followed to the file it names; the text goes to a temporary file in the same
// folder, which is flushed to the disk, given the mode of the old file, closed, and renamed over it; then
// the folder is flushed. A crash, a kill or a full disk leaves the old file as it was. Temporaries that a
// killed writer of the same file left behind are removed first: a living writer holds a lock on its own.
// Two writers of one file: ReplaceText holds a lock on the file over comparing and renaming, so that of two
// who have read the same text only one replaces it, and the other is told. A file system without locks or
// hard links gets the best it offers (write_file.cc says which).
// Cost: two flushes to the disk.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace gearwhy {

enum class WriteMode {
  kReplace,  // or make it when there is none
  kNew,      // only when there is no file of that name
  // As kReplace, for what can be made again and is looked at closely when it is read: nobody but the owner
  // may read it, and nothing is flushed.
  kPrivate,
};

// False on failure, with `why` a whole clause, "`x.yaml` cannot be written: No space left on device"; the
// file is then as it was. Fails without touching anything when the target is no regular file.
bool WriteFile(const std::string& path, std::string_view text, WriteMode mode, std::string* why);

// Replaces the text `before`, which the caller has read; without `before` there must be no file. A file that
// is gone is made anew. kOtherText: the file holds another text by now, or came into being meanwhile; nothing
// was written. kFailed: as WriteFile's false.
enum class Replaced { kDone, kOtherText, kFailed };
Replaced ReplaceText(const std::string& path, const std::optional<std::string>& before, std::string_view text,
                     std::string* why);

}  // namespace gearwhy
