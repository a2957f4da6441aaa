// The shipped rulebook has no gap that nobody explains, over all shipped units and cases.
#include <fmt/format.h>

#include <string>

#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

TEST_CASE("whatever stands in the shipped rulebook matters in some unit or case, or says why not") {
  const std::string command =
      fmt::format("cd '{}' && '{}' rules gaps cases 2>&1", GEARWHY_SOURCE_DIR, GEARWHY_PROGRAM);
  const Ran ran = RunCommand(command);
  INFO(ran.out);
  CHECK(ran.exit_code == 0);
}

}  // namespace
}  // namespace gearwhy
