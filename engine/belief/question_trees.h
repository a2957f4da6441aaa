// Question trees: which questions are put to which tree, and which are beyond the work allowed.
//
// In: a network, questions. Out: groups of questions (groups.h) with their trees measured.
// Method. The events that a question of few asks about stand beside the tree (asked_tree.h), so that one tree
// serves many such questions, and each costs no order of its own; one that asks about more has a tree
// of its own, in which they stand.
// Cost: see groups.h; an order for each question of many events.
#pragma once

#include <vector>

#include "engine/belief/answers.h"
#include "engine/belief/groups.h"

namespace gearwhy {

// `targets_for`: what else has to be told where some events are asked about; none where it is empty.
using TargetsFor = std::function<std::vector<int>(const std::vector<int>& asked)>;

// `max_entries`: of a tree (CompiledNetwork::Options).
std::vector<Group> GroupsOf(const Network& network, const std::vector<Question>& questions,
                            const BeliefLimits& limits, double max_entries,
                            const TargetsFor& targets_for = {});

// By question, in their order: whether its trees fit in all of these networks, by their groups, and what they
// cost is within `work` with those before it.
std::vector<char> AreWithin(double work, const std::vector<Question>& questions,
                            const std::vector<std::vector<Group>*>& of_networks);

}  // namespace gearwhy
