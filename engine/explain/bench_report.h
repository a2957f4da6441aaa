// Bench report: what was measured and what it says, which ring each pack takes, what becomes of each part,
// and what is still to be measured.
//
// In: a diagnosis. Out: every reading with its verdict, by the limits of each variant that it may be; a verdict
// for every part of the unit (part_decisions.h); every measurement that the checks of the rulebook provide
// for here and that has no reading yet, with its limits, in the order in which a unit comes apart.
// Cost: one join a check and a decision, for each variant that it may be. Errors: none.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/explain/capacity_report.h"
#include "engine/explain/choice_fits.h"
#include "engine/explain/close_out.h"
#include "engine/explain/pack_fits.h"
#include "engine/explain/part_decisions.h"
#include "engine/explain/rank_report.h"
#include "engine/explain/renewal_report.h"

namespace gearwhy {

// A reading as the limits of some variants judge it.
struct ReadingVerdict {
  std::vector<std::string> only_in;  // the variants, where it may be others
  double chance = 1;                 // that it is one of these
  JudgedReading reading;
  std::optional<BetterInstrument> could_tell;  // where this one cannot
};

// One thing measured at one time.
struct BenchReading {
  Statement fact;  // with the number that decides
  std::string place;
  std::vector<std::string> with;  // what the instruments are called
  Dimension dimension = Dimension::kNumber;
  std::vector<ReadingVerdict> verdicts;  // the likeliest variant first
};

// The limits of one thing in some variants.
struct DueLimits {
  std::vector<std::string> only_in;
  KnownLimits limits;
};

struct DueMeasurement {
  Statement fact;                 // its number 0
  std::vector<std::string> with;  // instruments, the cheapest first: what they are called
  Dimension dimension = Dimension::kNumber;
  std::vector<DueLimits> limits;
  std::string access;     // how far things must be open for it
  std::string lost_with;  // the access with which it can no longer be measured; empty: none
  std::vector<std::string> cautions;
};

struct BenchReport {
  std::string case_id, title, unit, variant;
  WhichVariant which_variant;
  std::vector<BenchReading> readings;  // in the order of the case
  std::vector<PackFit> packs;          // in the order of the unit
  std::vector<ChoiceFit> choices;      // likewise
  std::vector<PartDecision> parts;     // in the order of the unit
  RenewalReport renewals;
  std::vector<DueMeasurement> due;  // in the order of access, then of the rulebook
  CloseOut close_out;
  std::vector<ElementCapacity> capacities;  // in the order of the unit
};

BenchReport MakeBenchReport(const Diagnosis& diagnosis);
// Its `readings` and its `due` alone.
std::vector<BenchReading> ReadingsOf(const Diagnosis& diagnosis);
std::vector<DueMeasurement> MeasurementsDue(const Diagnosis& diagnosis);

// How a reading stands: beyond a limit, too close to tell, within, or without a limit.
enum class ReadingStand { kBeyond, kCannotTell, kWithin, kNoLimit };
std::string_view ReadingStandName(ReadingStand stand);  // "beyond", "cannot_tell", "within", "no_limit"
ReadingStand StandOf(const JudgedReading& reading);
// That of the variants that it most likely is, where those make nearly all (kNearlyKnown); else it cannot be
// told.
ReadingStand StandOf(const BenchReading& reading);

}  // namespace gearwhy
