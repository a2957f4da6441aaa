// Running a command and reading what it wrote, for tests that start the program.
#pragma once

#include <sys/wait.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/catch.h"

namespace gearwhy {

inline std::string ReadAll(const std::filesystem::path& path) {
  std::ifstream file(path);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

struct Ran {
  std::string out;  // standard output
  int exit_code = 0;
};

// By the shell.
inline Ran RunCommand(const std::string& command) {
  Ran ran;
  std::FILE* pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  char buffer[4096];
  for (std::size_t n; (n = std::fread(buffer, 1, sizeof buffer, pipe)) > 0;) ran.out.append(buffer, n);
  const int status = pclose(pipe);
  ran.exit_code = WEXITSTATUS(status);
  return ran;
}

// Whether the machine has all of these. Where it has not, the test says that it is left out; where CI is set,
// it fails.
inline bool HasPrograms(const std::vector<std::string>& names) {
  for (const std::string& name : names) {
    if (RunCommand("command -v " + name).exit_code == 0) continue;
    if (std::getenv("CI") != nullptr)
      FAIL(name << " is required where CI is set; cmake/setup.sh tests installs it");
    WARN("SKIPPED: " << name << " is not installed");
    return false;
  }
  return true;
}

}  // namespace gearwhy
