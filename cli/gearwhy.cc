// gearwhy: where the program begins and ends. What it understands stands in command_line.cc; what it does,
// one file a command, beside it.
#include <unistd.h>

#include <csignal>
#include <cstdio>
#include <exception>
#include <new>

#include "cli/command_line.h"
#include "cli/session.h"
#include "engine/text/safe_text.h"

namespace {

// Of the exception that is being handled.
int TellWhatWentWrong() {
  try {
    throw;
  } catch (const std::bad_alloc&) {
    std::fputs("error: there is not enough memory [out-of-memory]\n", stderr);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "error: something went wrong inside gearwhy: %s [internal]\n",
                 gearwhy::SafeLine(error.what()).c_str());
  }
  return gearwhy::kInternalError;
}

// Where memory is wanting inside a function that may not throw, as in the destructors of the JSON library, no
// exception gets to `main`.
[[noreturn]] void EndWithoutMain() noexcept {
  const bool known = std::current_exception() != nullptr;
  if (!known) std::fputs("error: something went wrong inside gearwhy [internal]\n", stderr);
  ::_exit(known ? TellWhatWentWrong() : gearwhy::kInternalError);
}

}  // namespace

int main(int argc, char** argv) {
  std::signal(SIGPIPE, SIG_IGN);  // a closed pipe is noticed where we write, and ends quietly
  std::set_terminate(EndWithoutMain);
  try {
    return gearwhy::RunCommandLine(argc, argv);
  } catch (const std::exception&) {
    return TellWhatWentWrong();
  }
}
