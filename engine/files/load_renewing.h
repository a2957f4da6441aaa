// The keys `again`, `come_back` and `prices` of a rulebook file (model/renewing.h).
#pragma once

#include "engine/model/rulebook.h"
#include "engine/text/fields.h"

namespace gearwhy {

// The words are read before.
void LoadRenewing(Fields& file, Rulebook& book, Diagnostics& diagnostics);
// What only the whole book can tell.
void CheckRenewing(const Rulebook& book, Diagnostics& diagnostics);

}  // namespace gearwhy
