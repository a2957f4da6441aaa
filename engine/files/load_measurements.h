// Load measurements: the keys `instruments` and `measurements` of a rulebook file.
//
// In: the fields of a file; the words of all files, and for measurements the instruments of all. Out: entries in
// the book. Errors: an instrument that cannot be wrong, a fact that is none or has not one quantity `is`, an
// instrument of another quantity, a limit with slots of its own, a variable that the fact has no slot for.
#pragma once

#include "engine/model/rulebook.h"
#include "engine/text/fields.h"

namespace gearwhy {

void LoadInstruments(Fields& file, Rulebook& book, Diagnostics& diagnostics);
void LoadMeasurements(Fields& file, Rulebook& book, Diagnostics& diagnostics);

}  // namespace gearwhy
