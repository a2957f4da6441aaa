// Measurement: what can be measured, with which instruments, and what a reading is judged by.
//
// A fact with one quantity, `is`, is what a measurement gives a number for: `line_pressure: {range, at, is}`.
// The rulebook's `instruments` say how far each can be wrong, its `measurements` with which of them such a
// fact is read, which facts give its limits, and which findings lie beyond them.
// In: entries of the rulebook, and readings of a case. Out: plain data; ground/readings.h judges them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/model/quantity.h"
#include "engine/model/statement.h"

namespace gearwhy {

// What makes a reading differ from what is there, each in the base unit of what it reads. Repeating makes
// `repeats` smaller and nothing else.
struct Instrument {
  std::string name;
  std::string says;  // "a caliper"
  Dimension reads = Dimension::kNumber;
  double step = 0;     // of its scale
  double repeats = 0;  // standard deviation of readings repeated with care
  double bias = 0;     // standard deviation of what all its readings have in common
  Place place;
};

struct Measurement {
  std::string fact;               // the word it gives a number for
  std::vector<std::string> with;  // instruments, the cheapest first; the first is taken where none is named
  // Facts whose quantities `least`, `most` and `new` are its limits. Their other slots are slots of the fact.
  std::vector<std::string> limits;
  std::optional<double> p_least_of_new;  // where no least limit is known: this share of `new` is it
  std::optional<double> p_per_degree;    // what it reads grows by this share of its value at 20 °C a degree
  std::optional<double> spread;          // standard deviation of such parts; else from the limits
  // What lies below the least and above the most: findings, whose variables are slots of the fact.
  std::optional<Pattern> too_small, too_large;
  // Facts that a reading settles: it is clear of every limit; it cannot be told from new.
  std::optional<Pattern> within, as_new;
  std::string trust;  // of its readings: how many are of something else
  std::string because;
  Place place;
};

// What was read at one place of a part, or of one plate of several; all in the base unit.
struct ReadAt {
  std::string place;  // empty: places are not told apart
  std::vector<double> values;
  friend bool operator==(const ReadAt&, const ReadAt&) = default;
  friend auto operator<=>(const ReadAt&, const ReadAt&) = default;
};

// How a number of a case was come by.
struct Reading {
  std::string with;       // an instrument; never empty
  bool as_built = false;  // measured of the unit as it goes together again, not as it was found
  std::optional<double> temperature_c = {};  // as it was read; the numbers are what it would be at 20 °C
  std::vector<ReadAt> at;
  friend bool operator==(const Reading&, const Reading&) = default;
  friend auto operator<=>(const Reading&, const Reading&) = default;
};

}  // namespace gearwhy
