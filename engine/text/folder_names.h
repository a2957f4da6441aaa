// The names of what lies in a folder, in no order.
//
// Not std::filesystem's directory_iterator: that of libstdc++ ends the process where memory is wanting, as it
// makes its paths inside functions that may not throw.
#pragma once

#include <string>
#include <vector>

namespace gearwhy {

// Without `.` and `..`. `error`: errno where the folder could not be read, or not to its end; else 0.
std::vector<std::string> NamesInFolder(const std::string& folder, int* error);

}  // namespace gearwhy
