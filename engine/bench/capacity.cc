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

double HeadForce(double rpm, double outer_mm, double inner_mm, double fluid_from_mm) {
  constexpr double kDensity = 850;  // kg/m³ of transmission fluid when warm: common practice
  const double omega = rpm * 2 * std::numbers::pi / 60;
  const double outer = outer_mm / 1000, surface = fluid_from_mm / 1000;
  const double inner = std::max(inner_mm, fluid_from_mm) / 1000;
  if (outer <= inner) return 0;
  const double squares = outer * outer - inner * inner;
  const double fourths = std::pow(outer, 4) - std::pow(inner, 4);
  return std::numbers::pi * kDensity * omega * omega * (fourths / 4 - surface * surface * squares / 2);
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
