#include "engine/bench/capacity.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace gearwhy {

constexpr double kNewtonsPerBarMm2 = 0.1;
constexpr double kMetresPerMm = 1e-3;

double PistonForce(double pressure_bar, double outer_mm, double inner_mm, double spring_n) {
  const double area = std::numbers::pi * (outer_mm * outer_mm - inner_mm * inner_mm);
  return std::max(0.0, pressure_bar * kNewtonsPerBarMm2 * area - spring_n);
}

double TorqueByWear(const LinedPack& pack, double force_n) {
  const double radius = (pack.outer_mm + pack.inner_mm) / 2;
  return pack.faces * pack.friction * force_n * radius * kMetresPerMm;
}

double TorqueByPressure(const LinedPack& pack, double force_n) {
  const double outer = pack.outer_mm, inner = pack.inner_mm;
  const double radius = 2.0 / 3.0 * (outer * outer + outer * inner + inner * inner) / (outer + inner);
  return pack.faces * pack.friction * force_n * radius * kMetresPerMm;
}

double TorqueOfBand(const LinedBand& band, double force_n, bool energised) {
  const double angle = 2 * std::numbers::pi * band.wrap;
  const double share = energised ? std::expm1(band.friction * angle) : -std::expm1(-band.friction * angle);
  return force_n * share * band.radius_mm * kMetresPerMm;
}

}  // namespace gearwhy
