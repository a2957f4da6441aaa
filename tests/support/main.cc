// The test programs' main, compiled once because it takes long. What programs that tests start find in the
// environment is not that of whoever runs them, and their cache is one of their own: empty at first, and gone
// at the end.
#include <stdlib.h>
#include <unistd.h>

#include <filesystem>
#include <string>

namespace {

class OwnCache {
 public:
  OwnCache() {
    folder_ = (std::filesystem::temp_directory_path() / "gearwhy_cache_XXXXXX").string();
    if (::mkdtemp(folder_.data()) == nullptr || ::setenv("XDG_CACHE_HOME", folder_.c_str(), 1) != 0)
      ::abort();
  }
  ~OwnCache() {
    std::error_code ignored;
    if (::getpid() == process_) std::filesystem::remove_all(folder_, ignored);  // not in a child
  }

 private:
  const pid_t process_ = ::getpid();
  std::string folder_;
};
const OwnCache kCache;

[[maybe_unused]] const bool kPlain = [] {
  return ::unsetenv("GEARWHY_SHOP") == 0 && ::unsetenv("GEARWHY_NO_CACHE") == 0 &&
         ::setenv("XDG_CONFIG_HOME", "/nonexistent", 1) == 0 && ::setenv("LC_ALL", "C.UTF-8", 1) == 0 &&
         ::unsetenv("NO_COLOR") == 0 && ::unsetenv("CLICOLOR") == 0 && ::unsetenv("CLICOLOR_FORCE") == 0;
}();
}  // namespace

#if GEARWHY_CATCH_MAJOR >= 3
#include <catch2/catch_session.hpp>
int main(int argc, char* argv[]) { return Catch::Session().run(argc, argv); }
#else
// g++ 12 with sanitizers takes the std::regex inside Catch2 for uninitialized.
#if defined(__GNUC__) && !defined(__clang__)
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif
#define CATCH_CONFIG_MAIN
#include <catch2/catch.hpp>
#endif
