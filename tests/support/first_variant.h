// First variant: a benchmark needs one transmission to draw from; the first variant of the unit will do.
#pragma once

#include <string>

#include "cli/session.h"

namespace gearwhy {

// Empty where the unit has none, or is none.
inline std::string FirstVariant(const Session& session, const std::string& unit) {
  Diagnostics diagnostics;
  const UnitKnowledge* known = session.Know(unit, {}, diagnostics);
  if (known == nullptr || known->unit->variants.empty()) return "";
  return known->unit->variants.front().name;
}

}  // namespace gearwhy
