// The chances against an outside engine: the same networks as models of JAGS (Debian package `jags`),
// sampled. Required when the environment variable CI is set; skipped with a warning elsewhere when jags is
// not installed.
#include <unistd.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <string>

#include "engine/belief/chances.h"
#include "tests/belief/brute_force.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

constexpr int kDraws = 40'000;

// Each event is a Bernoulli variable x[i]; each report a Bernoulli variable r[k] that was seen to be 1.
std::string Model(const Network& network) {
  std::ostringstream out;
  out.precision(17);
  out << "model {\n";
  for (size_t i = 0; i < network.events.size(); ++i) {
    const Event& event = network.events[i];
    out << "  x[" << i + 1 << "] ~ dbern(1 - (1 - " << event.p_unexplained << ")";
    for (const Cause& cause : event.causes)
      out << " * (1 - " << cause.p_how_often << " * x[" << cause.event + 1 << "])";
    out << ")\n";
  }
  for (size_t k = 0; k < network.reports.size(); ++k) {
    const Report& report = network.reports[k];
    const std::string x = "x[" + std::to_string(report.event + 1) + "]";
    out << "  r[" << k + 1 << "] ~ dbern(" << report.p_if_present << " * " << x << " + " << report.p_if_absent
        << " * (1 - " << x << "))\n";
  }
  out << "}\n";
  return out.str();
}

// Runs jags in a folder of its own and returns each event's mean, read from the CODA files.
std::vector<double> SampledMeans(const Network& network) {
  char folder[] = "/tmp/gearwhy-jags-XXXXXX";
  REQUIRE(mkdtemp(folder) != nullptr);
  const std::filesystem::path at = folder;
  std::ofstream(at / "model.txt") << Model(network);
  std::ofstream data(at / "data.txt");
  data << "r <- c(";
  for (size_t k = 0; k < network.reports.size(); ++k) data << (k ? ", " : "") << 1;
  data << ")\n";
  data.close();
  std::ofstream(at / "init.txt") << "\".RNG.name\" <- \"base::Mersenne-Twister\"\n\".RNG.seed\" <- 20\n";
  std::ofstream(at / "script.txt")
      << "model in model.txt\ndata in data.txt\ncompile\nparameters in init.txt\ninitialize\nupdate 2000\n"
      << "monitor x\nupdate " << kDraws << "\ncoda *\n";
  const int status = std::system(("cd " + at.string() + " && jags script.txt > log.txt 2>&1").c_str());
  std::ifstream log_file(at / "log.txt");
  std::stringstream log;
  log << log_file.rdbuf();
  INFO(log.str());
  REQUIRE(status == 0);

  std::ifstream index(at / "CODAindex.txt");
  std::ifstream chain(at / "CODAchain1.txt");
  std::vector<double> means(network.events.size(), -1);
  std::string name;
  int first = 0;
  int last = 0;
  while (index >> name >> first >> last) {
    double sum = 0;
    for (int line = first; line <= last; ++line) {
      int iteration = 0;
      double value = 0;
      REQUIRE(chain >> iteration >> value);
      sum += value;
    }
    const size_t bracket = name.find('[');
    const size_t event = bracket == std::string::npos ? 1 : std::stoul(name.substr(bracket + 1));
    REQUIRE(event - 1 < means.size());
    means[event - 1] = sum / (last - first + 1);
  }
  std::filesystem::remove_all(at);
  return means;
}

TEST_CASE("chances agree with an outside sampler") {
  if (std::system("command -v jags > /dev/null 2>&1") != 0) {
    if (std::getenv("CI") != nullptr) FAIL("jags is required where CI is set: install the package `jags`");
    WARN("SKIPPED: jags is not installed, so the chances were not checked against an outside engine");
    return;
  }
  std::mt19937 random(2003);
  for (int trial = 0; trial < 4; ++trial) {
    RandomShape shape;
    shape.faults = 6;
    shape.states = 5;
    shape.findings = 5;
    shape.reports = 0;
    shape.extremes = false;
    Network network = RandomNetwork(random, shape);
    // Doubtful reports, so that a sampler that changes one event at a time moves freely.
    for (size_t i = 0; i < network.events.size(); i += 3) {
      const bool present = random() % 2 == 0;
      network.reports.push_back({static_cast<int>(i), present, present ? 0.9 : 0.25, present ? 0.25 : 0.9});
    }
    BeliefLimits limits;
    limits.all_events = true;
    const Chances chances = ComputeChances(network, limits);
    REQUIRE(chances.exact);
    const std::vector<double> means = SampledMeans(network);
    for (size_t i = 0; i < network.events.size(); ++i) {
      INFO("trial " << trial << " event " << i);
      // Five standard errors of draws of which one in eight counts as independent.
      const double p = chances.p_event[i];
      CHECK(std::abs(means[i] - p) < 5 * std::sqrt(p * (1 - p) / (kDraws / 8.0)) + 1e-4);
    }
  }
}

}  // namespace
}  // namespace gearwhy
