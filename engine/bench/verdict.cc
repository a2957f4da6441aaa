#include "engine/bench/verdict.h"

#include <algorithm>
#include <cmath>

#include "engine/model/policy.h"

namespace gearwhy {
namespace {

constexpr double kRarest = 1e-9;  // a finding that no chart knows of is hardly ever so
constexpr double kWide = 10;      // a reading of something else lies within so many spreads

double Normal(double z) { return std::erfc(-z / std::sqrt(2.0)) / 2; }

// Φ⁻¹ by halving, exact to the last digits; p strictly between 0 and 1.
double NormalInverse(double p) {
  double low = -40, high = 40;
  for (int i = 0; i < 100; ++i) {
    const double middle = (low + high) / 2;
    (Normal(middle) < p ? low : high) = middle;
  }
  return (low + high) / 2;
}

double ShareBeyond(const Population& population) {
  return std::clamp(population.p_beyond, kLeastRare, 1 - kLeastRare);
}

}  // namespace

std::string_view StandName(Stand stand) {
  switch (stand) {
    case Stand::kInside:
      return "inside";
    case Stand::kBeyond:
      return "beyond";
    case Stand::kCannotTell:
      return "cannot_tell";
  }
  return "";
}

double Beyond(double value, double limit, Side side) {
  return side == Side::kBelow ? limit - value : value - limit;
}

double ChanceBeyond(const Measured& measured, double limit, Side side) {
  const double beyond = Beyond(measured.value, limit, side);
  if (measured.u <= 0) return beyond > 0 ? 1 : 0;
  return Normal(beyond / measured.u);
}

Stand StandTo(const Measured& measured, double limit, Side side) {
  // A reading on the edge of the guard band is clear, whatever the last digit of the sum says.
  const double beyond = Beyond(measured.value, limit, side);
  const double guard = kGuardBand * measured.u - 1e-9 * std::max(std::abs(limit), std::abs(measured.value));
  if (measured.u <= 0) return beyond > 0 ? Stand::kBeyond : Stand::kInside;
  if (beyond >= guard) return Stand::kBeyond;
  if (-beyond >= guard) return Stand::kInside;
  return Stand::kCannotTell;
}

ReadingChances ChancesOfReading(const Measured& measured, double limit, Side side,
                                const Population& population) {
  const double q = ShareBeyond(population);
  const double wide = std::hypot(measured.u, population.spread);
  const double rho = measured.u / wide;
  const double z0 = NormalInverse(1 - q);
  const double beyond = Beyond(measured.value, limit, side);
  // √(1 - ρ²)/u = s0/(u √(u² + s0²)); without doubt the sign alone decides.
  const double z = measured.u > 0 ? population.spread / (measured.u * wide) * beyond - rho * z0
                                  : (beyond > 0 ? 40.0 : -40.0);
  // The reading moves the odds from q to Normal(z): by as much it moves those of the finding, from p0 to p1.
  const double p0 = std::clamp(population.p_beyond, kRarest, 1 - kRarest);
  const double beyond_weight = Normal(z) * (1 - q) * p0;
  const double inside_weight = Normal(-z) * q * (1 - p0);
  const double p1 = beyond_weight / (beyond_weight + inside_weight);
  const double m = population.p_mistaken;
  const double p = (1 - m) * p1 + m * p0;
  // The smaller of both shares keeps either at 1 at most.
  const double unit = std::min(p0, 1 - p0);
  return {unit * p / p0, unit * (1 - p) / (1 - p0)};
}

double DensityAt(const Measured& measured, double limit, Side side, const Population& population) {
  const double q = ShareBeyond(population);
  const double wide = std::hypot(measured.u, population.spread);
  // The mean of such parts lies so far inside that a share q of them is beyond.
  const double off =
      Beyond(measured.value, limit, side) / wide + NormalInverse(1 - q) * population.spread / wide;
  const double m = population.p_mistaken;
  const double anywhere = std::sqrt(2 * std::acos(-1.0)) / kWide;
  return ((1 - m) * std::exp(-off * off / 2) + m * anywhere) * measured.u / wide;
}

double ChanceToTell(const Measured& measured, const Instrument& instrument,
                    const std::vector<Limit>& limits) {
  const double u = MeasuredBy(instrument, {measured.value}).u;
  const double wide = std::hypot(measured.u, u);
  if (wide <= 0) return 1;
  // Inside of all limits: an interval; beyond one: a tail each, and the tails do not overlap.
  double low = -HUGE_VAL, high = HUGE_VAL, p_beyond = 0;
  for (const Limit& limit : limits) {
    const double sign = limit.side == Side::kBelow ? 1 : -1;
    const double inner = limit.limit + sign * kGuardBand * u;
    const double outer = limit.limit - sign * kGuardBand * u;
    if (limit.side == Side::kBelow) {
      low = std::max(low, inner);
      p_beyond += Normal((outer - measured.value) / wide);
    } else {
      high = std::min(high, inner);
      p_beyond += Normal((measured.value - outer) / wide);
    }
  }
  const double inside =
      low < high ? Normal((high - measured.value) / wide) - Normal((low - measured.value) / wide) : 0;
  return std::clamp(inside + p_beyond, 0.0, 1.0);
}

bool NeverInside(double u, const std::vector<Limit>& limits) {
  double low = -HUGE_VAL, high = HUGE_VAL;
  for (const Limit& limit : limits) {
    if (limit.side == Side::kBelow)
      low = std::max(low, limit.limit);
    else
      high = std::min(high, limit.limit);
  }
  return high - low < 2 * kGuardBand * u;
}

}  // namespace gearwhy
