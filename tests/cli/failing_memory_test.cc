// The program's askings for memory made to fail, one after another: it says so and ends with a code of the
// manual, what it has written is whole, and no case is damaged or lost.
#include <algorithm>
#include <functional>

#include "tests/cli/failing_jobs.h"

namespace gearwhy {
namespace {

struct Starved {
  bool reached = false;
  int code = 0;
};

// `n`: which asking fails; 0: none.
Starved RunJob(const Job& job, const Workplace& workplace, long n) {
  std::string command = fmt::format(
      "cd '{}' && GEARWHY_FAIL_NEW={} GEARWHY_FAIL_NOTE=../note LD_PRELOAD='{}' "
      "ASAN_OPTIONS=verify_asan_link_order=0 '{}'",
      workplace.folder(), n, GEARWHY_FAILING_MEMORY, GEARWHY_PROGRAM);
  for (const std::string& argument : job.arguments) command += " '" + argument + "'";
  command += fmt::format(" <../in >../out 2>../err; echo $?; cat ../note");
  std::istringstream said(RunCommand(command).out);
  Starved starved;
  long asked = 0;
  REQUIRE(said >> starved.code);
  if (said >> asked) starved.reached = asked >= n;
  return starved;
}

// The first forty, and then further and further apart, until no more are asked for.
void FailSome(const Job& job, const std::function<void(const Workplace&, int code)>& check) {
  int failed = 0;
  for (long n = 1;; n = n < 40 ? n + 1 : n + n / 12) {
    const auto workplace = job.Prepared();
    const Starved starved = RunJob(job, *workplace, n);
    INFO(n << "\n" << workplace->Out() << workplace->Err());
    REQUIRE(starved.code >= 0);
    REQUIRE(starved.code <= 3);
    REQUIRE(workplace->Litter().empty());
    if (starved.code != 0) {
      ++failed;
      REQUIRE(workplace->Err().find("error: ") != std::string::npos);
    }
    check(*workplace, starved.code);
    if (!starved.reached) break;
  }
  CHECK(failed > 40);
}

void FailRank(const Job& job) {
  const auto untouched = job.Prepared();
  REQUIRE(RunJob(job, *untouched, 0).code == 0);
  const std::string whole = untouched->Out();
  REQUIRE(std::count(whole.begin(), whole.end(), '\n') == 3);
  FailSome(job, [&](const Workplace& workplace, int code) {
    MustBeWholeLines(workplace.Out(), code != 3);
    if (code == 0) REQUIRE(workplace.Out() == whole);
  });
}

TEST_CASE("memory fails: a folder of cases is ranked whole, or it is said") { FailRank(RankAFolder()); }
TEST_CASE("memory fails: a stream of cases is ranked whole, or it is said") { FailRank(RankAStream()); }
TEST_CASE("memory fails: a case that is kept is never damaged or lost") {
  FailSome(KeepACase(), MustHaveKept);
}
TEST_CASE("memory fails: a case that is begun is kept whole, or it is said that it is not") {
  FailSome(BeginACase(), MustHaveBegun);
}

}  // namespace
}  // namespace gearwhy
