#include "engine/belief/groups.h"

#include <algorithm>
#include <utility>

namespace gearwhy {
namespace {

// A group of several events is cut when its tables together pass this; one event alone may be as wide as the limits allow.
constexpr double kEntriesOfGroup = 100'000;

// Two lists: the events that need no event beside the ancestors of reports, which cost the tree nothing, and the others, sorted so that
// those which need the same events are neighbours.
std::vector<std::vector<int>> ByWhatTheyAdd(const Network& network, const std::vector<int>& wanted) {
  const Ancestry ancestry = AncestorsOfReports(network);
  std::vector<int> nothing;
  std::vector<std::pair<std::vector<int>, int>> something;
  for (int event : wanted) {
    std::vector<int> added;
    if (ancestry.index_of[static_cast<size_t>(event)] < 0) {
      for (const Cause& cause : network.events[static_cast<size_t>(event)].causes) {
        if (ancestry.index_of[static_cast<size_t>(cause.event)] < 0) added.push_back(cause.event);
      }
    }
    std::sort(added.begin(), added.end());
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

}  // namespace

std::vector<int> ForEachGroup(const Network& network, const BeliefLimits& limits, const std::vector<int>& wanted, bool keep,
                              const VisitGroup& visit) {
  std::vector<int> too_wide;
  std::vector<std::vector<int>> open = ByWhatTheyAdd(network, wanted);
  while (!open.empty()) {
    const std::vector<int> group = std::move(open.back());
    open.pop_back();
    CompiledNetwork::Options options;
    options.targets = group;
    if (keep) options.keep = group;
    if (group.size() > 1) options.max_entries = kEntriesOfGroup;
    CompiledNetwork compiled(network, limits, options);
    if (compiled.fits()) {
      visit(compiled, group);
    } else if (group.size() == 1) {
      too_wide.push_back(group[0]);
    } else {
      const auto middle = group.begin() + static_cast<std::ptrdiff_t>(group.size() / 2);
      open.emplace_back(middle, group.end());
      open.emplace_back(group.begin(), middle);
    }
  }
  return too_wide;
}

}  // namespace gearwhy
