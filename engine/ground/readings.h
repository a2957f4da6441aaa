// Readings: the measured facts of a case beside the limits of its transmission.
//
// In: a case, the rulebook, and the facts of the transmission with those the case states. Out: what was measured of
// each thing at each time, judged (bench/verdict.h), in the order of the case.
// Method. Readings of one thing at one time are taken together (bench/reading.h). Limits are facts that the
// measurement names, which speak of the same things; those that
// the case states, from the maker's table or a new part, go before those of the unit; of several the tightest
// holds. Each limit is judged at the place that is worst for it. What is clear of a limit is a finding
// observed present or absent; near a limit it is neither, and only moves chances. Readings of the unit as it
// goes together again are judged, and say nothing of what failed.
// Cost: the readings, times the limits of their kind. Errors: none.
// Threads: plain data.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/bench/verdict.h"
#include "engine/chain/fact_store.h"
#include "engine/model/case.h"
#include "engine/model/report_chances.h"
#include "engine/model/rulebook.h"

namespace gearwhy {

// What limits one thing, where they are known.
struct KnownLimits {
  std::optional<double> least, most, fresh;  // `fresh`: what it measures new
};
// `of`: the fact that would be measured, whatever its number. What the case says goes before what the unit
// does.
KnownLimits LimitsOf(const Rulebook& book, const Measurement& measurement, const Statement& of, const Case& c,
                     const FactStore& store);

struct JudgedPlace {
  std::string place;  // empty: not told apart
  Measured measured;
};

struct AgainstLimit {
  Limit limit;
  std::size_t worst = 0;  // of the places
  double p_beyond = 0;
  Stand stand = Stand::kCannotTell;
  std::optional<Statement> finding;  // what lies beyond
  double spread = 0;                 // standard deviation of such parts
};

struct BetterInstrument {
  const Instrument* instrument = nullptr;
  double p_tells = 0;
};

struct JudgedReading {
  const Measurement* measurement = nullptr;
  Statement of;  // the fact, its number 0
  bool as_built = false;
  Place place;  // of the first of its readings
  std::vector<std::string> with;
  std::vector<JudgedPlace> places;  // never empty
  bool contradict = false;          // two instruments contradict each other
  std::optional<double> fresh;      // what it measures new
  std::vector<AgainstLimit> limits;
  bool is_as_new = false;
  bool never_inside = false;  // these instruments can never say that it is within

  // Clear of all limits; false where there are none.
  bool IsWithin() const;
  // The limit that it is beyond, the one that it is furthest beyond; null where it is beyond none.
  const AgainstLimit* Beyond() const;
  // The first limit that it cannot be told from; null where there is none.
  const AgainstLimit* Untold() const;
  // The place that decides: the worst of the limit it is beyond, or cannot be told from; else the first.
  const JudgedPlace& Decides() const;
};

// A pattern whose variables are slots of what was measured, filled; nothing where there is none.
std::optional<Statement> FillBySlots(const std::optional<Pattern>& pattern, const Word& word,
                                     const Statement& of);

// The fact that was measured, with this number.
Statement WithNumber(const Rulebook& book, const JudgedReading& reading, double number);

std::vector<JudgedReading> JudgeReadings(const Rulebook& book, const Case& c, const FactStore& store);

// The reading of this thing, whatever its number, as found or as built; null where it was not measured.
const JudgedReading* FindReading(const std::vector<JudgedReading>& readings, const Statement& of,
                                 bool as_built);

// Where it cannot be told: the cheapest instrument that more likely than not could, else the best of them.
std::optional<BetterInstrument> WhichCouldTell(const Rulebook& book, const JudgedReading& reading);

// The chances of a report of what lies beyond a limit. Across variants whose limits differ a reading also
// tells how likely such parts are in each; that factor is left out where there is one alone.
ReportChances WeighReading(const Rulebook& book, const JudgedReading& reading, const AgainstLimit& against,
                           double p_common, bool variants_differ);

}  // namespace gearwhy
