#include "engine/bench/clearance.h"

#include <cmath>

namespace gearwhy {
namespace {

// What is left before a ring is in, with its doubt.
struct Room {
  double is = 0;
  double squares = 0, sum = 0;  // of the tolerances
};

Room RoomIn(const PackToFit& pack) {
  Room room{pack.depth.is, pack.depth.tolerance * pack.depth.tolerance, pack.depth.tolerance};
  for (const Thickness& plate : pack.plates) {
    room.is -= plate.is;
    room.squares += plate.tolerance * plate.tolerance;
    room.sum += plate.tolerance;
  }
  return room;
}

// Thicknesses are told in hundredths; what differs by less is the same.
constexpr double kSame = 1e-6;

Fit FitIn(const Room& room, const PackToFit& pack, double ring) {
  Fit fit;
  fit.ring = ring;
  fit.clearance = room.is - ring;
  fit.doubt = std::sqrt(room.squares + pack.ring_tolerance * pack.ring_tolerance);
  fit.worst = room.sum + pack.ring_tolerance;
  const auto within = [&](double clearance) {
    return clearance >= pack.least - kSame && clearance <= pack.most + kSame;
  };
  fit.serves = within(fit.clearance);
  fit.sure = within(fit.clearance - fit.doubt) && within(fit.clearance + fit.doubt);
  return fit;
}

RingToTake ChooseIn(const Room& room, const PackToFit& pack) {
  const double middle = (pack.least + pack.most) / 2;
  RingToTake take;
  take.ideal = room.is - middle;
  double nearest = HUGE_VAL;
  // From the thickest down, so that of two equally near the tighter stands first.
  for (auto ring = pack.rings.rbegin(); ring != pack.rings.rend(); ++ring) {
    const double off = std::abs(*ring - take.ideal);
    if (off < nearest - kSame) {
      nearest = off;
      take.best = FitIn(room, pack, *ring);
      take.as_near.reset();
    } else if (std::abs(off - nearest) <= kSame) {
      take.as_near = FitIn(room, pack, *ring);
    }
  }
  return take;
}

}  // namespace

RingToTake ChooseRing(const PackToFit& pack) { return ChooseIn(RoomIn(pack), pack); }

RingToTake CorrectRing(const PackToFit& pack, double fitted_ring, Thickness measured_clearance) {
  const Room room{fitted_ring + measured_clearance.is,
                  measured_clearance.tolerance * measured_clearance.tolerance, measured_clearance.tolerance};
  return ChooseIn(room, pack);
}

ScrewTurns TurnScrew(Thickness clearance, double per_turn, double least, double most) {
  return {(clearance.is - (least + most) / 2) / per_turn, (clearance.is - most) / per_turn,
          (clearance.is - least) / per_turn, clearance.tolerance / per_turn,
          clearance.is >= least - kSame && clearance.is <= most + kSame};
}

}  // namespace gearwhy
