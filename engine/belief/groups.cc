#include "engine/belief/groups.h"

namespace gearwhy {
namespace {

// A group of several events is cut when its tables together pass this; one event alone may be as wide as the limits allow.
constexpr double kEntriesOfGroup = 100'000;

}  // namespace

std::vector<int> ForEachGroup(const Network& network, const BeliefLimits& limits, const std::vector<int>& wanted, bool keep,
                              const VisitGroup& visit) {
  std::vector<int> too_wide;
  std::vector<std::vector<int>> open;
  if (!wanted.empty()) open.push_back(wanted);
  while (!open.empty()) {
    const std::vector<int> group = std::move(open.back());
    open.pop_back();
    CompiledNetwork::Options options;
    options.targets = group;
    if (keep) options.keep = group;
    if (group.size() > 1) options.max_entries = kEntriesOfGroup;
    CompiledNetwork compiled(network, limits, options);
    if (!compiled.too_wide()) {
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
