// Silence: what a customer says by naming some ranges and not the others.
//
// In: the rulebook's entries of `silence`, the facts and observations of a case, its network. Out: for
// each event that was left unnamed a weak report that it is absent.
// Method. Who has trouble in one range tells that one. For the same finding in the others (of those that the entry's
// conditions name) it says something that nothing was said. It is an event of its own that the finding is
// named, with the finding's causes, each of which brings it about less often:
//   how often × (1 - P(unnamed | bad) / P(unnamed | good))
// and it is certain that this was absent. Where one cause is at work, the odds are the book's; several each
// have a chance of being told. A doubtful report of the finding itself would say the same, but tie all its
// causes together: with five of these no case is narrow any more, while a certain absence costs nothing
// (belief/chances.h). For the same reason causes that are findings themselves, and that nobody has reported,
// give way to what brings them about, each as often as by both links. It is taken only where at most a share
// of the ranges was named: who names most of them means all. Any report of the finding itself, by whomever,
// takes its place, and so does one that makes it moot.
// Cost: one join an entry, for each variant that it may be. Errors: none.
#pragma once

#include "engine/ground/diagnose.h"

namespace gearwhy {

// All other reports have been added.
void AddSilence(Diagnosis& diagnosis);

}  // namespace gearwhy
