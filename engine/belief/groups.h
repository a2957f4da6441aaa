// Groups: many questions on few trees, none of which is much larger than it must be.
//
// In: a network, the events that each question is about, and how a tree for some events is made. Out: groups of
// questions, each with its tree measured, in which every question stands once.
// Method: questions that need the same causes stand together; a group is kept if its tables are small,
// else it is halved, and so on, unless the reports alone need a wide tree and the halves are no
// smaller. A question that is too wide even alone stands in a group whose tree does not fit.
// Cost: one ordering for each group looked at.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <vector>

#include "engine/belief/compiled_network.h"

namespace gearwhy {

struct Group {
  std::vector<std::size_t> questions;  // indices
  std::vector<int> events;             // of all of them
  bool as_ends = true;                 // see CompiledNetwork::Options
  std::unique_ptr<CompiledNetwork> tree;
};

using MakeTree = std::function<std::unique_ptr<CompiledNetwork>(const std::vector<int>& events)>;

std::vector<Group> MakeGroups(const Network& network, const BeliefLimits& limits,
                              const std::vector<std::vector<int>>& events_of, const MakeTree& make_tree);

}  // namespace gearwhy
