// Verdict: what a measured value says of a limit.
//
// In: a value with its standard uncertainty, a limit, and which side of it is bad. Out: the verdict that is shown; how
// far the reading moves the odds that the part is beyond the limit; which instrument could tell.
// Method. The chance that the true value lies beyond the limit is Φ(d/u), with d how far beyond it the reading is.
// A verdict is given where the reading is clear of the limit by the guard band w = 2u: 23 in 1000 are then
// wrong at the edge, and fewer further off. Else this instrument cannot tell. In the network that is not
// enough: a part that reads a little small may be a good one misread, the more so the fewer parts are bad.
// Such parts are taken to be spread by s0 about a mean from which a share q of them lies beyond the limit, q
// being the chance of the finding before anything is seen, and at least a fifth: what is looked for because
// of a complaint is not that rare. With ρ = u/√(u² + s0²) and z0 = Φ⁻¹(1 - q)
//   P(beyond | reading) = Φ(√(1 - ρ²) d/u - ρ z0)
// and the odds of the finding move by as much as from q to that. Of all readings a share m is of something
// else altogether, and says nothing: the finding then stays as likely as it was. So there is no step at the
// limit, an instrument that tells nothing moves nothing, a reading well inside never speaks for the fault,
// and one far beyond is believed as much as the finding reported in words with the same trust, however rare
// it is.
// Source: JCGM 106:2012, 7 (conformance probability) and 8.3 (guard bands), from memory; the second is Bayes'
// rule for two normal distributions, own derivation.
// Cost: none to speak of. Errors: none.
#pragma once

#include <string_view>
#include <vector>

#include "engine/bench/reading.h"

namespace gearwhy {

enum class Side { kBelow, kAbove };  // where it is bad: below the least, above the most

enum class Stand { kInside, kBeyond, kCannotTell };
std::string_view StandName(Stand stand);  // "inside", "beyond", "cannot_tell"

// How far beyond the limit a value is; negative inside.
double Beyond(double value, double limit, Side side);
// The chance that the true value lies beyond the limit, by this reading alone.
double ChanceBeyond(const Measured& measured, double limit, Side side);
// By the guard band.
Stand StandTo(const Measured& measured, double limit, Side side);

// What a reading is in the network: the chance of this reading where the part is beyond the limit and where
// it is not, both in one unit of their own.
struct ReadingChances {
  double p_if_beyond = 1;
  double p_if_inside = 1;
};
// What is known of such parts, before one is measured.
struct Population {
  double spread = 0;      // standard deviation, above 0
  double p_beyond = 0;    // the chance of the finding
  double p_mistaken = 0;  // of the readings, how many are of something else
};
ReadingChances ChancesOfReading(const Measured& measured, double limit, Side side,
                                const Population& population);
// How often such parts give this reading, in one unit for all populations, so that those of two variants can
// be compared; at most 1. Readings of something else lie anywhere.
double DensityAt(const Measured& measured, double limit, Side side, const Population& population);

struct Limit {
  double limit = 0;
  Side side = Side::kBelow;
};
// The chance that a further reading with this instrument would be clear of the limits, inside of all or
// beyond one, given what was read.
double ChanceToTell(const Measured& measured, const Instrument& instrument, const std::vector<Limit>& limits);
// The limits lie closer together than what a reading must be clear of both: none can ever be inside.
bool NeverInside(double u, const std::vector<Limit>& limits);

}  // namespace gearwhy
