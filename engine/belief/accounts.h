// Accounts: in which places something broke, one place alone or two at once, as chances that add up.
//
// In: a network with its reports, the exact chances of it, and for each fault the place that it belongs to.
// Out: the places that count, and for each set of at most `most_at_once` of them the chance that something
// broke in just these; for the likeliest sets also every event's chance given that.
// The one most probable set of single faults is not asked for: among fifty possible faults every such set is
// unlikely, and the empty one, unlikely too, often leads.
//
// A *root* is a fault that arose by itself: of a fault that others cause, only its own chance counts. A root
// *bears* where the reports multiplied its odds by 1.5 or more: what is common anyway, and what nothing
// reported speaks for, makes no account. An account says that in each of its places a root that bears is so,
// and none that bears anywhere else. What it leaves to 1 is more places at once, and places that do not
// count.
// Method. Each place becomes an event that its roots always bring about, and nothing else; where a fault has
// causes, its own chance becomes a cause beside them. Roots of places that do not count are struck, and the
// chance that they are absent is multiplied in. One tree is built; an account is a pass up of it with the
// place events supposed present or absent. So every number is a sum of non-negative ones, and the accounts of
// all sets that hold a place add up to the chance that something broke there. Of a network with worlds, which
// roots bear and which places count is said by the chances over all of them; each world has its tree, and the
// accounts are summed (worlds.h).
// Cost: one tree a world, a little wider than the reports' own; a pass up for each of at most 16 sets, a pass up and
// down for each of those told in full.
// Errors: none. Nothing where no root bears, where the chances are not exact, and where the tree is too wide:
// beyond a million numbers, which with all passes is some half a second.
// Source: own derivation.
#pragma once

#include <vector>

#include "engine/belief/answers.h"
#include "engine/belief/chances.h"

namespace gearwhy {

// One set of places.
struct Account {
  std::vector<int> places;  // ascending; empty: nothing that bears has broken
  double p = 0;             // given the reports
  // Given the account too, for those told in full. By event, as in Chances; `p_by_itself` of roots only, and
  // NaN for what the tree does not hold.
  EventChances given;
};

struct AccountOptions {
  int most_places = 5;         // that count: those with the largest sums of their roots' chances
  double least_chance = 0.03;  // of a place that counts: the sum of its roots' chances
  int most_at_once = 2;        // places of one account
  int in_full = 3;             // accounts
};

struct Accounts {
  std::vector<Account> all;             // likeliest first; ties: fewer places, then lower ones
  std::vector<std::vector<int>> roots;  // by place: its roots that bear, ascending
  std::vector<int> counted;             // the places that count, ascending
};

// Whether the reports multiplied the odds that the fault arose by itself by 1.5 or more.
bool Bears(const Network& network, const Chances& chances, int fault);

// `place_of`: by event; -1 for what is no fault. `chances`: from ComputeChances for this network.
Accounts ComputeAccounts(const Network& network, const Chances& chances, const std::vector<int>& place_of,
                         const BeliefLimits& limits = {}, const AccountOptions& options = {});

}  // namespace gearwhy
