// Reading: what repeated readings of one thing are worth together, and how far they can be wrong.
//
// In: readings, and what is known of the instrument; all in one unit. Out: their mean and its standard uncertainty.
// Method. u² = repeats²/n + step²/12 + bias². The spread of the readings takes the place of `repeats` from five on, where it
// is larger: fewer tell too little of it. A scale that is read to its steps can be half a step off whatever
// is read, which is a standard deviation of step/√12, and repeating does not help. A spread of more than
// three times what the instrument explains is uneven, or misread.
// Readings by several instruments are weighed by 1/u². Where they are further apart than their doubts
// explain, the doubt of the mean grows by √(χ²/(n - 1)), and they contradict each other where two are more
// than three standard uncertainties of their difference apart.
// Source: JCGM 100:2008 (GUM) 4.2.3 for the mean, F.2.2.1 for the step, 5.1.2 for the sum; the growth is Birge
// 1932, The calculation of errors by the method of least squares. From memory.
// Cost: the number of readings; of contradictions, its square. Errors: none.
#pragma once

#include <vector>

#include "engine/model/measurement.h"

namespace gearwhy {

// A value with its standard uncertainty u.
struct Measured {
  double value = 0;
  double u = 0;
  bool uneven = false;  // the readings differ by more than the instrument explains
};

// `values` is not empty.
Measured MeasuredBy(const Instrument& instrument, const std::vector<double>& values);

struct Together {
  Measured measured;
  bool contradict = false;
};
// The same thing measured by several instruments, none of them without doubt; not empty.
Together MeasuredTogether(const std::vector<Measured>& several);

}  // namespace gearwhy
