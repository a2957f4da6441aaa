// Settled: which findings need no question, because of what has been reported.
//
// In: a diagnosis. Out: for every event whether it is reported, known
// by what another report takes for granted (needs.h), a part of what was reported absent, or beyond telling:
// a finding that needs drive says nothing where there is none, nor does heat of a trouble that was not found
// again. Nothing of this is evidence. It only spares
// questions, and keeps answers that nobody can give out of the case.
// Method: reports, what the present ones imply; then the causes that always bring about what is absent are
// absent, too, and a finding one of whose needs is known not to hold is moot, as is one that needs a moot
// one.
// Cost: one walk over the reports, and one over the findings.
#pragma once

#include <functional>
#include <map>
#include <vector>

#include "engine/ground/diagnose.h"
#include "engine/model/needs.h"

namespace gearwhy {

struct Settled {
  std::vector<char> present, absent, moot;  // by event of the network

  bool Any(int event) const {
    const auto i = static_cast<std::size_t>(event);
    return present[i] || absent[i] || moot[i];
  }
};

Settled SettledBy(const Diagnosis& diagnosis);
// Of some events those that are settled once these findings have been reported as well, present or absent.
using SettledOnce = std::function<std::vector<int>(const std::map<int, bool>& answered)>;
// For any number of answers; the diagnosis must outlive it.
SettledOnce SettledOnceAnswered(const Diagnosis& diagnosis, std::vector<int> events);

// The parts of a whole: the findings that always bring it about.
std::vector<int> PartsOf(const Network& network, int whole);

}  // namespace gearwhy
