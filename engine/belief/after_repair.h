// After repair: would what was seen still be there once some faults are mended?
//
// In: a network with its reports; the faults that are mended, each with the chance that it is there again with
// the new part; what was looked at since; the events asked about. Out: the chance of each that it is still
// there.
// Method. What would be there without the mended faults is told apart from what they bring (twin.h). After the
// repair it is as it was, for what a kept cause brought about once it brings about again; that holds of what
// arose by itself, too, as nobody knows why it did. A fault that is not mended stays, whoever caused it: what
// is burnt stays burnt. A new part brings about what a bad one of its kind brings about, by the chance that
// it is bad.
// Cost: as that of the chances, with up to twice the events below the mended faults. Errors: none.
// Source: own derivation.
#pragma once

#include <vector>

#include "engine/belief/chances.h"
#include "engine/belief/network.h"

namespace gearwhy {

struct MendedFault {
  int event = 0;
  double p_again = 0;  // with the new part: mistakes of assembly, a part that is bad from new
};

struct AfterRepair {
  std::vector<double> p_still;  // one for each event that was asked about
  bool exact = true;
};

// `tried`: reports of events of the network, made once the faults were mended.
AfterRepair ChancesAfterRepair(const Network& network, const std::vector<MendedFault>& mended,
                               const std::vector<Report>& tried, const std::vector<int>& asked,
                               const BeliefLimits& limits = {});

}  // namespace gearwhy
