// Writing a file so that at every moment either the old text or the new one stands there whole.
//
// Method: a symlink is followed to the file it names; the text goes to a temporary file in the same
// folder, which is flushed to the disk, given the mode of the old file, closed, and renamed over it; then
// the folder is flushed. A crash, a kill or a full disk leaves the old file as it was. Temporaries that a
// killed writer of the same file left behind are removed first: a living writer holds a lock on its own.
// Cost: two flushes to the disk.
#pragma once

#include <string>
#include <string_view>

namespace gearwhy {

enum class WriteMode {
  kReplace,  // or make it when there is none
  kNew,      // only when there is no file of that name
};

// False on failure, with `why` a whole clause, "`x.yaml` cannot be written: No space left on device"; the
// file is then as it was. Fails without touching anything when the target is no regular file.
bool WriteFile(const std::string& path, std::string_view text, WriteMode mode, std::string* why);

}  // namespace gearwhy
