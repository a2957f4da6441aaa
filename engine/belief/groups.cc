#include "engine/belief/groups.h"

#include <algorithm>
#include <memory>
#include <utility>

namespace gearwhy {
namespace {

// A group of several events is small, and not cut, when its tables together have at most this or twice what
// the reports alone need.
constexpr double kEntriesOfGroup = kSmallTree;
// A larger one is cut; but where the reports alone need more, a cut saves little and costs a tree: then only
// when it does not fit or its halves are this much smaller.
constexpr double kWorthCutting = 1.5;

// Two lists: the events that need no event beside the ancestors of reports, which cost the tree nothing, and
// the others, sorted so that those which need the same events are neighbours.
std::vector<std::vector<int>> ByWhatTheyAdd(const Network& network, const std::vector<int>& wanted) {
  const std::vector<char> bears = BearsOnReports(network);
  std::vector<int> nothing;
  std::vector<std::pair<std::vector<int>, int>> something;
  for (int event : wanted) {
    std::vector<int> added = CausesAdded(network, bears, event);
    if (added.empty()) {
      nothing.push_back(event);
    } else {
      something.emplace_back(std::move(added), event);
    }
  }
  std::sort(something.begin(), something.end());
  std::vector<std::vector<int>> lists;
  if (!something.empty()) lists.emplace_back();
  for (const auto& [added, event] : something) lists.back().push_back(event);
  if (!nothing.empty()) lists.push_back(std::move(nothing));
  return lists;
}

// A group on its way to being solved, with its tree measured.
struct Group {
  std::vector<int> events;
  std::unique_ptr<CompiledNetwork> compiled;
};

}  // namespace

std::vector<int> ForEachGroup(const Network& network, const BeliefLimits& limits,
                              const std::vector<int>& wanted, const VisitGroup& visit) {
  const auto measured = [&](std::vector<int> events) {
    CompiledNetwork::Options options;
    options.targets = events;
    return Group{std::move(events), std::make_unique<CompiledNetwork>(network, limits, options)};
  };

  std::vector<int> too_wide;
  const double alone = CompiledNetwork(network, limits, {}).entries();
  const double small = std::max(kEntriesOfGroup, 2 * alone);
  const bool heavy = alone > kEntriesOfGroup;
  std::vector<Group> open;
  for (std::vector<int>& events : ByWhatTheyAdd(network, wanted)) open.push_back(measured(std::move(events)));
  while (!open.empty()) {
    const Group group = std::move(open.back());
    open.pop_back();
    const bool fits = group.compiled->fits();
    const double entries = group.compiled->entries();
    const std::vector<int>& events = group.events;
    bool cut = events.size() > 1 && !(fits && entries <= small);
    if (cut) {
      const auto middle = events.begin() + static_cast<std::ptrdiff_t>(events.size() / 2);
      Group first = measured({events.begin(), middle});
      Group second = measured({middle, events.end()});
      cut = !fits || !heavy ||
            entries > kWorthCutting * std::max(first.compiled->entries(), second.compiled->entries());
      if (cut) {
        open.push_back(std::move(second));
        open.push_back(std::move(first));
      }
    }
    if (cut) continue;
    if (group.compiled->Build()) {
      visit(*group.compiled, events);
    } else {
      too_wide.push_back(events[0]);
    }
  }
  return too_wide;
}

}  // namespace gearwhy
