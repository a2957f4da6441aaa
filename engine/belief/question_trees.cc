#include "engine/belief/question_trees.h"

#include <cmath>
#include <limits>
#include <utility>

#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr std::size_t kMostAsEnds = 3;  // events of one question
constexpr double kPassesOfATree = 3;    // what making it takes

}  // namespace

std::vector<Group> GroupsOf(const Network& network, const std::vector<Question>& questions,
                            const BeliefLimits& limits, double max_entries, const TargetsFor& targets_for) {
  const auto tree_for = [&](const std::vector<int>& asked, bool as_ends) {
    CompiledNetwork::Options options;
    options.asked = asked;
    options.asked_as_ends = as_ends;
    options.max_entries = max_entries;
    if (targets_for) options.targets = targets_for(asked);
    return std::make_unique<CompiledNetwork>(network, limits, options);
  };
  std::vector<std::size_t> of_few;
  std::vector<std::vector<int>> asked_of_few;
  std::vector<Group> groups;
  for (std::size_t q = 0; q < questions.size(); ++q) {
    std::vector<int> asked = AskedOf(questions[q]);
    if (asked.size() <= kMostAsEnds) {
      of_few.push_back(q);
      asked_of_few.push_back(std::move(asked));
    } else {
      groups.push_back({{q}, asked, false, tree_for(asked, false)});
    }
  }
  for (Group& group : MakeGroups(network, limits, asked_of_few,
                                 [&](const std::vector<int>& asked) { return tree_for(asked, true); })) {
    for (std::size_t& q : group.questions) q = of_few[q];
    groups.push_back(std::move(group));
  }
  return groups;
}

std::vector<char> AreWithin(double work, const std::vector<Question>& questions,
                            const std::vector<std::vector<Group>*>& of_networks) {
  std::vector<double> work_of(questions.size(), 0);
  for (const std::vector<Group>* groups : of_networks) {
    for (const Group& group : *groups) {
      const double making = kPassesOfATree / static_cast<double>(group.questions.size());
      for (const std::size_t q : group.questions) {
        work_of[q] += !group.tree->fits()
                          ? std::numeric_limits<double>::infinity()
                          : (making + static_cast<double>(questions[q].size())) * group.tree->entries();
      }
    }
  }
  std::vector<char> is_within(questions.size(), 0);
  for (std::size_t q = 0; q < questions.size(); ++q) {
    if (!std::isfinite(work_of[q]) || work_of[q] > work) continue;
    is_within[q] = 1;
    work -= work_of[q];
  }
  return is_within;
}

}  // namespace gearwhy
