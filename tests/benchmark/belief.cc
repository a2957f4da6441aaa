// Times of the belief engine on a random network the size of a real case: medians of repeats, in milliseconds
// of processor time. Run it from a release build: gearwhy_benchmark_belief [faults] [reports] [seed]
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <random>

#include "engine/belief/chances.h"

namespace gearwhy {
namespace {

// Faults act on one to three states of their neighbourhood, states on further states, findings show one to
// five states: the layers and the locality of a transmission, where a clutch shares its circuit with few
// others.
Network MakeNetwork(int faults, int reports, unsigned seed) {
  std::mt19937 random(seed);
  const auto below = [&](int n) { return static_cast<int>(random() % static_cast<unsigned>(n)); };
  const auto chance = [&] { return static_cast<double>(random() % 1'000'000U) / 1'000'000.0; };
  const int states = 100;
  const int findings = 300;
  Network network;
  const auto add = [&](EventType type, double p_unexplained) {
    network.events.push_back({std::to_string(network.events.size()), type, p_unexplained, {}});
  };
  for (int i = 0; i < faults; ++i) add(EventType::kFault, 0.0005 + 0.01 * chance());
  for (int i = 0; i < states; ++i) add(EventType::kState, 0.0002);
  for (int i = 0; i < findings; ++i) add(EventType::kFinding, 0.001 + 0.01 * chance());
  const auto link = [&](int cause, int effect) {
    auto& causes = network.events[static_cast<size_t>(effect)].causes;
    if (cause == effect) return;
    for (const Cause& c : causes) {
      if (c.event == cause) return;
    }
    causes.push_back({cause, 0.2 + 0.75 * chance()});
  };
  const auto near_state = [&](int centre) { return std::clamp(centre + below(13) - 6, 0, states - 1); };
  for (int f = 0; f < faults; ++f) {
    const int centre = f * states / faults;
    const int effects = 1 + (below(3) == 0) + (below(6) == 0);
    for (int k = 0; k < effects; ++k) link(f, faults + near_state(centre));
  }
  for (int s = 1; s < states; ++s) {
    if (below(2) == 0) link(faults + std::max(0, s - 1 - below(6)), faults + s);
  }
  for (int i = 0; i < findings; ++i) {
    const int finding = faults + states + i;
    const int centre = below(states);
    const int causes = 1 + below(5);
    for (int k = 0; k < causes; ++k) link(faults + near_state(centre), finding);
    if (below(3) == 0) link(below(faults), finding);
  }
  // What one true fault or two would show, with doubts here and there.
  std::vector<char> so(network.events.size(), 0);
  so[static_cast<size_t>(below(faults))] = so[static_cast<size_t>(below(faults))] = 1;
  for (size_t i = static_cast<size_t>(faults); i < network.events.size(); ++i) {
    double absent = 1 - network.events[i].p_unexplained;
    for (const Cause& c : network.events[i].causes) {
      if (so[static_cast<size_t>(c.event)]) absent *= 1 - c.p_how_often;
    }
    so[i] = chance() > absent;
  }
  std::vector<int> order(static_cast<size_t>(findings));
  for (int i = 0; i < findings; ++i) order[static_cast<size_t>(i)] = faults + states + i;
  for (size_t i = order.size() - 1; i > 0; --i)
    std::swap(order[i], order[static_cast<size_t>(below(static_cast<int>(i) + 1))]);
  std::stable_partition(order.begin(), order.end(), [&](int e) { return so[static_cast<size_t>(e)] != 0; });
  // Up to half of them present.
  int present = 0;
  for (int e : order) {
    if (static_cast<int>(network.reports.size()) == reports) break;
    const bool is = so[static_cast<size_t>(e)] != 0;
    if (is && ++present > (reports + 1) / 2) continue;
    const bool sure = below(3) > 0;
    network.reports.push_back({e, is, is ? 1.0 : sure ? 0.0 : 0.1, is ? (sure ? 0.0 : 0.1) : 1.0});
  }
  return network;
}

template <typename Work>
double MedianMs(int repeats, Work work) {
  std::vector<double> times;
  for (int i = 0; i < repeats; ++i) {
    const std::clock_t start = std::clock();
    work();
    times.push_back(1000.0 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
  }
  std::nth_element(times.begin(), times.begin() + repeats / 2, times.end());
  return times[static_cast<size_t>(repeats / 2)];
}

}  // namespace
}  // namespace gearwhy

int main(int argc, char** argv) {
  using namespace gearwhy;
  const int faults = argc > 1 ? std::atoi(argv[1]) : 400;
  const int reports = argc > 2 ? std::atoi(argv[2]) : 15;
  const unsigned seed = argc > 3 ? static_cast<unsigned>(std::atoi(argv[3])) : 1;
  if (faults < 1 || reports < 0) {
    std::fprintf(stderr, "usage: gearwhy_benchmark_belief [faults] [reports] [seed]\n");
    return 2;
  }
  const Network network = MakeNetwork(faults, reports, seed);
  BeliefLimits all;
  all.all_events = true;
  const Chances chances = ComputeChances(network);
  std::printf("%zu events, %zu reports, width %d, exact %d\n", network.events.size(), network.reports.size(),
              chances.width, chances.exact);
  std::printf("chances                %8.3f ms\n", MedianMs(101, [&] { ComputeChances(network); }));
  std::printf("chances of all events  %8.3f ms\n", MedianMs(21, [&] { ComputeChances(network, all); }));
  std::printf("influence              %8.3f ms\n", MedianMs(11, [&] { ComputeInfluence(network); }));
  return 0;
}
