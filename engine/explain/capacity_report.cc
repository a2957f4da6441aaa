#include "engine/explain/capacity_report.h"

#include <algorithm>

namespace gearwhy {

std::vector<ElementCapacity> CapacitiesOf(const Diagnosis& diagnosis) {
  std::vector<ElementCapacity> capacities;
  if (diagnosis.unit == nullptr) return capacities;
  for (const int world : diagnosis.likeliest) {
    const CaseFacts& facts = diagnosis.worlds[At(world)];
    const Transmission& transmission = *facts.transmission;
    for (ElementCapacity& capacity :
         Capacities(*diagnosis.unit, transmission.variant, transmission.known->behaviour,
                    {*diagnosis.book, *diagnosis.c, facts.store, facts.readings})) {
      capacity.only_in = diagnosis.VariantsOf({world});
      capacities.push_back(std::move(capacity));
    }
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
