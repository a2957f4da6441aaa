// Loaded before a program (LD_PRELOAD): its n-th `new` fails, with n from the variable GEARWHY_FAIL_NEW,
// counted from the moment when its `main` begins by leaving SIGPIPE alone (cli/gearwhy.cc). At its end a file
// named by GEARWHY_FAIL_NOTE says how many were asked for.
#include <dlfcn.h>
#include <fcntl.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>
#include <cstdlib>

#include "tests/support/failing_new.h"

extern "C" sighandler_t signal(int number, sighandler_t handler) noexcept {
  using Signal = sighandler_t (*)(int, sighandler_t);
  const auto real = reinterpret_cast<Signal>(::dlsym(RTLD_NEXT, "signal"));
  const char* const n = std::getenv("GEARWHY_FAIL_NEW");
  if (number == SIGPIPE && n != nullptr) gearwhy::FailAllocation(std::atol(n));
  return real(number, handler);
}

namespace {
struct Note {
  ~Note() {
    const char* const path = std::getenv("GEARWHY_FAIL_NOTE");
    if (path == nullptr) return;
    const int note = ::open(path, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    ::dprintf(note, "%ld", gearwhy::AllocationsAsked());
    ::close(note);
  }
} g_note;
}  // namespace
