#include "engine/explain/exactness.h"

#include "engine/model/policy.h"

namespace gearwhy {

Exactness ExactnessOf(const Diagnosis& diagnosis) {
  Exactness exactness;
  exactness.known = diagnosis.chances.exact;
  exactness.left_out = diagnosis.left_out;
  exactness.exact = exactness.known && diagnosis.firm_error <= kRoundedAway && diagnosis.left_out.empty();
  if (exactness.exact) return exactness;
  exactness.error = diagnosis.firm_error;
  exactness.firm = diagnosis.firm;
  return exactness;
}

}  // namespace gearwhy
