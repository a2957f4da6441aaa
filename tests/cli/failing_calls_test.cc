// Every call to the kernel that the program makes while it answers cases and keeps one, made to fail, one
// after another: it says so and ends with a code of the manual, what it has written is whole, and no case is
// damaged or lost.
#include "tests/support/failing_calls.h"

#include <algorithm>
#include <functional>

#include "tests/cli/failing_jobs.h"

namespace gearwhy {
namespace {

// The sanitizers ask for memory of their own, and give up where there is none.
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
constexpr bool kSanitized = true;
#else
constexpr bool kSanitized = false;
#endif

Failed RunJob(const Job& job, const Workplace& workplace, const FailingCalls& calls, int n) {
  FailingRun run{
      {GEARWHY_PROGRAM}, workplace.folder(), workplace.InPath(), workplace.OutPath(), workplace.ErrPath()};
  run.command.insert(run.command.end(), job.arguments.begin(), job.arguments.end());
  return RunWithFailure(run, calls, n);
}

// What went wrong is said where it changes the answer, unless it is just the saying that failed.
void MustHaveSaidSo(const Workplace& workplace, const Failed& failed, int code) {
  if (code == 0 || failed.message) return;
  const std::string said = workplace.Err() + workplace.Out();
  REQUIRE((said.find("error") != std::string::npos || said.find("cannot be") != std::string::npos));
}

// Runs with the first call of each kind failing, then with the second, and so on until no more are made.
// `check` looks at what came of it, with the exit code.
void FailEach(const Job& job, const std::function<void(const Workplace&, int code)>& check) {
  if (!KernelAsksUs()) return;
  for (const FailingCalls& calls : AllFailingCalls()) {
    if (kSanitized && calls.name == "memory") continue;
    for (int n = 1;; ++n) {
      const auto workplace = job.Prepared();
      const Failed failed = RunJob(job, *workplace, calls, n);
      INFO(calls.name << " " << n << "\n" << workplace->Out() << workplace->Err());
      REQUIRE(WIFEXITED(failed.status));
      const int code = WEXITSTATUS(failed.status);
      REQUIRE(code <= 3);
      if (calls.name != "unlink") REQUIRE(workplace->Litter().empty());
      MustHaveSaidSo(*workplace, failed, code);
      check(*workplace, code);
      if (!failed.reached) {
        REQUIRE(code == 0);
        break;
      }
    }
  }
}

void FailRank(const Job& job) {
  const auto untouched = job.Prepared();
  if (!KernelAsksUs()) return;
  REQUIRE(RunJob(job, *untouched, {"none", {}, 0}, 1).status == 0);
  const std::string whole = untouched->Out();
  REQUIRE(std::count(whole.begin(), whole.end(), '\n') == 3);
  FailEach(job, [&](const Workplace& workplace, int code) {
    MustBeWholeLines(workplace.Out(), code != 3);
    if (code == 0) REQUIRE(workplace.Out() == whole);
  });
}

TEST_CASE("a call fails: a folder of cases is ranked whole, or it is said what failed") {
  FailRank(RankAFolder());
}
TEST_CASE("a call fails: a stream of cases is ranked whole, or it is said what failed") {
  FailRank(RankAStream());
}
TEST_CASE("a call fails: a case that is kept is never damaged or lost") {
  FailEach(KeepACase(), MustHaveKept);
}
TEST_CASE("a call fails: a case that is begun is kept whole, or it is said that it is not") {
  FailEach(BeginACase(), MustHaveBegun);
}

}  // namespace
}  // namespace gearwhy
