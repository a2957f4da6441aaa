#include "engine/belief/worlds.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace gearwhy {

Network InWorld(const Network& network, std::size_t world) {
  Network one = network;
  one.worlds.clear();
  for (Event& event : one.events) {
    if (!event.in_world.empty()) event.p_unexplained = event.in_world[world];
    event.in_world.clear();
    bool has_gone = false;
    for (Cause& cause : event.causes) {
      if (!cause.in_world.empty()) cause.p_how_often = cause.in_world[world];
      has_gone |= !cause.in_world.empty() && cause.p_how_often <= 0;
      cause.in_world.clear();
    }
    if (has_gone) std::erase_if(event.causes, [](const Cause& cause) { return cause.p_how_often <= 0; });
  }
  for (Report& report : one.reports) {
    if (report.in_world.empty()) continue;
    report.p_if_present = report.in_world[world].p_if_present;
    report.p_if_absent = report.in_world[world].p_if_absent;
    report.present = report.in_world[world].present;
    report.in_world.clear();
  }
  return one;
}

WorldShares SharesOf(const std::vector<double>& weights, const std::vector<double>& logp) {
  constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();
  WorldShares shares{weights, kMinusInfinity};
  for (std::size_t w = 0; w < weights.size(); ++w) {
    if (weights[w] > 0) shares.logp = std::max(shares.logp, logp[w]);
  }
  if (shares.logp == kMinusInfinity) return shares;
  const double largest = shares.logp;
  double sum = 0;
  for (std::size_t w = 0; w < weights.size(); ++w) {
    shares.share[w] = weights[w] > 0 ? weights[w] * std::exp(logp[w] - largest) : 0;
    sum += shares.share[w];
  }
  for (double& share : shares.share) share /= sum;
  shares.logp = largest + std::log(sum);
  return shares;
}

void AddShare(double share, const std::vector<double>& in_world, std::vector<double>& sum) {
  sum.resize(in_world.size(), 0);
  for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += share * in_world[i];
}

}  // namespace gearwhy
