// Every case that comes with gearwhy is answered as it expects.
#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

TEST_CASE("every shipped case comes out as it expects") {
  const auto run = RunCommand("'" GEARWHY_PROGRAM "' rules test 2>&1");
  INFO(run.out);
  CHECK(run.exit_code == 0);
  CHECK(run.out.find(" as expected, 0 not") != std::string::npos);
}

}  // namespace
}  // namespace gearwhy
