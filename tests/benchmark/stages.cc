// Times of each stage for shipped cases, medians over repeats, and the peak memory: gearwhy_benchmark_stages
// [CASE...]
//
// "whole" is the program as a user runs it, from its start to the end of its answer.
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <functional>
#include <string>
#include <vector>

#include "cli/session.h"
#include "engine/advise/next_checks.h"
#include "engine/belief/chances.h"
#include "engine/explain/rank_report.h"
#include "engine/render/text.h"

namespace gearwhy {
namespace {

constexpr int kRepeats = 15;

double MillisecondsOf(const std::function<void()>& work) {
  std::vector<double> times;
  for (int i = 0; i < kRepeats; ++i) {
    const auto start = std::chrono::steady_clock::now();
    work();
    const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
    times.push_back(took.count());
  }
  std::nth_element(times.begin(), times.begin() + kRepeats / 2, times.end());
  return times[kRepeats / 2];
}

// Runs the program on the case with its output thrown away; returns the peak memory in MB of the largest run
// so far.
double RunProgram(const std::string& path) {
  std::fflush(stdout);  // or the child would print it once more
  const pid_t child = fork();
  if (child == 0) {
    if (std::freopen("/dev/null", "w", stdout) == nullptr) _exit(1);
    execl(GEARWHY_PROGRAM, GEARWHY_PROGRAM, "rank", path.c_str(), static_cast<char*>(nullptr));
    _exit(1);
  }
  int status = 0;
  rusage usage{};
  wait4(child, &status, 0, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

void Measure(const std::string& path) {
  const BeliefLimits limits;
  const auto session = Session::Open({});
  if (session == nullptr) return;
  Diagnostics diagnostics;
  const auto c = session->ReadCase(path, diagnostics);
  const auto diagnosis = c ? session->DiagnoseCase(*c, limits, diagnostics) : std::nullopt;
  if (!diagnosis) {
    session->Print(diagnostics);
    return;
  }
  const Network& network = diagnosis->ground.network;
  const UnitKnowledge* unit = session->Know(c->unit, {}, diagnostics);
  const BookFile* file = session->shelf().FileOf(c->unit);
  double memory_mb = 0;
  fmt::print("{}: {} events, {} reports, width {}, {}\n", path, network.events.size(), network.reports.size(),
             diagnosis->chances.width, diagnosis->chances.exact ? "exact" : "nothing known");
  const auto line = [](const char* what, double ms) { fmt::print("  {:<44}{:9.2f} ms\n", what, ms); };
  line("reading the rulebook", MillisecondsOf([&] { Session::Open({}); }));
  line("the transmission: facts, chaining, network",
       MillisecondsOf([&] { MakeTransmission(session->book(), unit, c->variant, diagnostics); }));
  line("the case put on it", MillisecondsOf([&] { session->GroundCase(*c, diagnostics); }));
  line("exact chances", MillisecondsOf([&] { ComputeChances(network, limits); }));
  line("influence of every report", MillisecondsOf([&] { ComputeInfluence(network, limits); }));
  line("accounts of places", MillisecondsOf([&] { MakePlaceAccounts(*diagnosis, -1); }));
  line("ranking", MillisecondsOf([&] { MakeRankReport(*diagnosis, file, limits); }));
  const RankReport report = MakeRankReport(*diagnosis, file, limits);
  line("next checks and verdict", MillisecondsOf([&] { FindLookNext(*diagnosis, report); }));
  line("whole", MillisecondsOf([&] { memory_mb = RunProgram(path); }));
  fmt::print("  {:<44}{:9.1f} MB\n", "peak memory", memory_mb);
}

}  // namespace
}  // namespace gearwhy

int main(int argc, char** argv) {
  std::vector<std::string> cases(argv + 1, argv + argc);
  if (cases.empty()) cases.push_back(GEARWHY_SOURCE_DIR "/cases/no-reverse-when-hot.yaml");
  for (const std::string& path : cases) gearwhy::Measure(path);
}
