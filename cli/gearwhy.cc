// gearwhy: where the program begins and ends. What it understands stands in command_line.cc; what it does,
// one file a command, beside it.
#include <csignal>
#include <cstdio>
#include <exception>
#include <new>

#include "cli/command_line.h"
#include "cli/session.h"
#include "engine/text/safe_text.h"

int main(int argc, char** argv) {
  std::signal(SIGPIPE, SIG_IGN);  // a closed pipe is noticed where we write, and ends quietly
  try {
    return gearwhy::RunCommandLine(argc, argv);
  } catch (const std::bad_alloc&) {
    std::fputs("error: there is not enough memory [out-of-memory]\n", stderr);
    return gearwhy::kInternalError;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "error: something went wrong inside gearwhy: %s [internal]\n",
                 gearwhy::SafeLine(error.what()).c_str());
    return gearwhy::kInternalError;
  }
}
