// The shipped rulebook has no gap that nobody explains, over all shipped units and cases.
#include <fmt/format.h>
#include <sys/wait.h>

#include <cstdio>
#include <string>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

TEST_CASE("whatever stands in the shipped rulebook matters in some unit or case, or says why not") {
  const std::string command = fmt::format("cd '{}' && '{}' rules gaps cases 2>&1", GEARWHY_SOURCE_DIR, GEARWHY_PROGRAM);
  std::FILE* pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string out;
  char buffer[4096];
  for (std::size_t n; (n = std::fread(buffer, 1, sizeof buffer, pipe)) > 0;) out.append(buffer, n);
  const int status = pclose(pipe);
  INFO(out);
  CHECK(WEXITSTATUS(status) == 0);
}

}  // namespace
}  // namespace gearwhy
