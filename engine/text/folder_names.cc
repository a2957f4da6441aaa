#include "engine/text/folder_names.h"

#include <dirent.h>

#include <cerrno>
#include <memory>

namespace gearwhy {

std::vector<std::string> NamesInFolder(const std::string& folder, int* error) {
  *error = 0;
  std::vector<std::string> names;
  struct Close {
    void operator()(DIR* open) const { ::closedir(open); }
  };
  const std::unique_ptr<DIR, Close> open(::opendir(folder.c_str()));
  if (open == nullptr) {
    *error = errno;
    return names;
  }
  for (;;) {
    errno = 0;
    const dirent* const entry = ::readdir(open.get());
    if (entry == nullptr) break;
    const std::string name = entry->d_name;
    if (name != "." && name != "..") names.push_back(name);
  }
  *error = errno;
  return names;
}

}  // namespace gearwhy
