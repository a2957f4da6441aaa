// Join worlds: the networks of a case on the variants that its transmission may be, made one network with
// worlds (belief/worlds.h).
//
// In: for each variant the case's facts and its network, with what it reports; the chance of each before. Out: one
// network, in which an event is known by its statement, a report by its observation, or by what a rule
// concluded, whatever variant it is of; and beside each where it comes from, in the likeliest variant that
// has it. Numbers do not hang on which is likeliest.
// Method. What rules conclude of one event is one report, also where it is present by the limits of one variant
// and absent by those of another: it is one reading. An event that a variant has not is absent there: a
// report of it counts as one that is mistaken. A report that a rule makes of a reading in some variants,
// while in another nothing is said of the event, because that one states no limit, must not speak for it:
// there the reading is as likely as in those others before anything else is known.
// How common an event is, is a chance over all variants: reports weigh the same in each, and so do the
// answers of checks once they are reports.
// Cost: about that of copying the networks; chances before, only where a variant says nothing.
// Errors: none.
#pragma once

#include <memory>
#include <vector>

#include "engine/ground/ground.h"
#include "engine/ground/transmission.h"

namespace gearwhy {

// `facts`, `grounds` and `weights`: by variant. `likeliest`: their indices, the likeliest first.
// `common`: that of the lasting networks, joined.
GroundNetwork JoinWorlds(const std::vector<CaseFacts>& facts, const std::vector<GroundNetwork>& grounds,
                         const std::vector<double>& weights, const std::vector<int>& likeliest,
                         std::shared_ptr<const HowCommon> common);

// The networks without what the case has moved and reported, each as its `common` has it: with the same
// events as in JoinWorlds, and how common these are over all variants.
GroundNetwork JoinLasting(const std::vector<CaseFacts>& facts, const std::vector<GroundNetwork>& grounds,
                          const std::vector<double>& weights);

}  // namespace gearwhy
