// Renewing: what the rulebook knows of parts that are used again, and what it costs to come back for them.
//
// In: `again`, `come_back` and `prices` of the rulebook, the last of a shop's own. Out: plain data; bench/renewing.h
// weighs it.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "engine/text/source.h"

namespace gearwhy {

// How often a unit comes out again within its warranty because of one part of this kind. That is not how
// common its faults are in units that come in, which have not just been looked at.
struct Again {
  std::string part_kind;
  double p_sound = 0;                 // found sound, and used again
  std::optional<double> p_long_used;  // the same, where it has run long; as the other when not said
  double p_renewed = 0;               // when it was renewed, its mounting included
  double minutes = 0;                 // to renew it, while it lies open
  std::string because;
  Place place;
};

// What one coming back takes, besides the way to the part and renewing it.
struct ComeBack {
  double minutes = 0;
  Place place;
};

// In the money of whoever states it; nothing is converted.
struct Price {
  double each = 0;
  Place place;
};
struct Prices {
  double hour = 0;                     // of work
  double come_back = 0;                // of one coming back, besides the work
  std::map<std::string, Price> parts;  // by kind of part
  Place place;
};

struct Renewing {
  std::map<std::string, Again> again;  // by kind of part
  std::optional<ComeBack> come_back;
  std::optional<Prices> prices;  // not said: minutes alone count
};

}  // namespace gearwhy
