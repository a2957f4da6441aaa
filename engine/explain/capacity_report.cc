#include "engine/explain/capacity_report.h"

#include <algorithm>
#include <utility>

namespace gearwhy {

std::vector<ElementCapacity> CapacitiesOf(const Diagnosis& diagnosis) {
  if (diagnosis.unit == nullptr) return {};
  std::vector<std::pair<ElementCapacity, std::vector<int>>> each;  // with the worlds in which it is so
  for (const int world : diagnosis.likeliest) {
    const CaseFacts& facts = diagnosis.worlds[At(world)];
    const Transmission& transmission = *facts.transmission;
    for (ElementCapacity& capacity :
         Capacities(*diagnosis.unit, transmission.variant, transmission.known->behaviour,
                    {*diagnosis.book, *diagnosis.c, facts.store, facts.readings})) {
      const auto same =
          std::find_if(each.begin(), each.end(), [&](const auto& one) { return one.first == capacity; });
      if (same == each.end())
        each.push_back({std::move(capacity), {world}});
      else
        same->second.push_back(world);
    }
  }
  std::vector<ElementCapacity> capacities;
  for (auto& [capacity, worlds] : each) {
    capacity.only_in = diagnosis.VariantsOf(worlds);
    capacities.push_back(std::move(capacity));
  }
  const auto order = [&](const std::string& element) {
    const auto& all = diagnosis.unit->dimensions;
    return std::find_if(all.begin(), all.end(), [&](const Dimensions& of) { return of.element == element; });
  };
  std::stable_sort(capacities.begin(), capacities.end(),
                   [&](const ElementCapacity& a, const ElementCapacity& b) {
                     return order(a.element) < order(b.element);
                   });
  return capacities;
}

}  // namespace gearwhy
