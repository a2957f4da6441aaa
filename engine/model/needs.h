// Needs: what a finding takes for granted, and reports of one source that cannot both be for that reason.
//
// In: the rulebook, with what its findings need (`needs`) and which finding is always so with another (a
// chart's line of 100%), and statements. Out: what a present finding takes for granted; an error at each
// report that another of the same source denies, with a note at the other. Reports of different sources may
// differ, and so may those made under different circumstances: the network weighs them. That one source
// reports one finding both present and absent is left to the network, too.
// What is taken for granted decides what is asked and which reports are refused. It is never a report of its
// own: one look would count twice.
// Cost: for each present report, what follows from it.
#pragma once

#include <vector>

#include "engine/model/case.h"
#include "engine/model/rulebook.h"
#include "engine/text/diagnostic.h"

namespace gearwhy {

struct Implied {
  Statement finding;
  bool present = true;
};

// What the finding needs, by itself.
std::vector<Implied> NeedsOf(const Words& words, const Statement& finding);

// What a present finding takes for granted: itself, what it needs, what is always so with it, and what those
// need.
std::vector<Implied> ImpliedBy(const Rulebook& book, const Statement& present);

// Whether the finding cannot be told beside these: one of its needs is known not to hold, or cannot be told
// itself.
bool CannotTell(const Words& words, const Statement& finding, const std::vector<Implied>& known);

void NameContradictions(const Rulebook& book, const std::vector<Observation>& observations,
                        Diagnostics& diagnostics);

}  // namespace gearwhy
