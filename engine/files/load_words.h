// Rulebook files -> Words: kinds, facts, events and scales, from all files together.
#pragma once

#include <vector>

#include "engine/model/words.h"
#include "engine/text/fields.h"

namespace gearwhy {

// Reads the keys of words in the fields of each file; its other keys are the caller's. Everything wrong is
// reported; what could be read is returned, so that later stages can report their own errors in the same go.
Words LoadWords(std::vector<Fields>& files, Diagnostics& diagnostics);

}  // namespace gearwhy
