#include "engine/belief/groups.h"

#include <algorithm>
#include <iterator>
#include <utility>

#include "engine/text/at.h"

namespace gearwhy {
namespace {

// A group of several questions is small, and not cut, when its tables together have at most this or twice
// what the reports alone need.
constexpr double kEntriesOfGroup = kSmallTree;
// A larger one is cut; but where the reports alone need more, a cut saves little and costs a tree: then only
// when it does not fit or its halves are this much smaller.
constexpr double kWorthCutting = 1.5;

// Two lists: the questions that need no event beside the ancestors of reports, which cost the tree nothing,
// and the others, sorted so that those which need the same events are neighbours.
std::vector<std::vector<std::size_t>> ByWhatTheyAdd(const Network& network,
                                                    const std::vector<std::vector<int>>& events_of) {
  const std::vector<char> bears = BearsOnReports(network);
  std::vector<std::size_t> nothing;
  std::vector<std::pair<std::vector<int>, std::size_t>> something;
  for (std::size_t q = 0; q < events_of.size(); ++q) {
    std::vector<int> added;
    for (const int event : events_of[q]) {
      const std::vector<int> by_one = CausesAdded(network, bears, event);
      std::vector<int> both;
      std::set_union(added.begin(), added.end(), by_one.begin(), by_one.end(), std::back_inserter(both));
      added = std::move(both);
    }
    if (added.empty()) {
      nothing.push_back(q);
    } else {
      something.emplace_back(std::move(added), q);
    }
  }
  std::sort(something.begin(), something.end());
  std::vector<std::vector<std::size_t>> lists;
  if (!something.empty()) lists.emplace_back();
  for (const auto& [added, q] : something) lists.back().push_back(q);
  if (!nothing.empty()) lists.push_back(std::move(nothing));
  return lists;
}

}  // namespace

std::vector<Group> MakeGroups(const Network& network, const BeliefLimits& limits,
                              const std::vector<std::vector<int>>& events_of, const MakeTree& make_tree) {
  const auto measured = [&](std::vector<std::size_t> questions) {
    Group group{std::move(questions), {}, true, nullptr};
    for (const std::size_t q : group.questions)
      group.events.insert(group.events.end(), events_of[q].begin(), events_of[q].end());
    group.tree = make_tree(group.events);
    return group;
  };

  if (events_of.empty()) return {};
  const double alone = CompiledNetwork(network, limits, {}).entries();
  const double small = std::max(kEntriesOfGroup, 2 * alone);
  const bool heavy = alone > kEntriesOfGroup;
  std::vector<Group> open, done;
  for (std::vector<std::size_t>& questions : ByWhatTheyAdd(network, events_of))
    open.push_back(measured(std::move(questions)));
  while (!open.empty()) {
    Group group = std::move(open.back());
    open.pop_back();
    const bool fits = group.tree->fits();
    const double entries = group.tree->entries();
    bool cut = group.questions.size() > 1 && !(fits && entries <= small);
    if (cut) {
      const auto middle = group.questions.begin() + static_cast<std::ptrdiff_t>(group.questions.size() / 2);
      Group first = measured({group.questions.begin(), middle});
      Group second = measured({middle, group.questions.end()});
      cut = !fits || !heavy ||
            entries > kWorthCutting * std::max(first.tree->entries(), second.tree->entries());
      if (cut) {
        open.push_back(std::move(second));
        open.push_back(std::move(first));
      }
    }
    if (!cut) done.push_back(std::move(group));
  }
  return done;
}

}  // namespace gearwhy
