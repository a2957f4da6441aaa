// Case: one transmission on the bench.
//
// In: one case file. Out: what is known of its unit and history, what was observed and measured, and, for
// tests, what is expected.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/model/measurement.h"
#include "engine/model/statement.h"
#include "engine/model/words.h"

namespace gearwhy {

struct CaseFact {
  Statement statement;
  Place place;
  bool measured = false;  // else history; as the file has it
  // How its number was come by, where the rulebook describes its measurement. The number is the mean.
  std::optional<Reading> reading = {};
};

struct Observation {
  Statement event;
  bool present = true;
  bool complaint = false;  // what the customer came with: must be explained in the end
  std::string trust;       // a name in the words; see report_chances.h
  // The circumstances it was made under, by name, sorted; of two opposites at most one, and none that nobody
  // told.
  std::vector<std::string> under;
  std::string note;
  Place place;
};

// What a test of the rulebook expects of a case.
struct Expectation {
  Statement event;  // a fault, or a state
  // False: must not be among the suspects (its chance stays below a tenth, or `at_most`).
  bool suspected = true;
  int within = 1;  // among the first so many (of faults, or of states)
  std::optional<double> at_least, at_most;
  std::vector<std::string> rules;  // ids of rules and charts that must appear in its reasons
  Place place;
};

struct Case {
  std::string id;       // the file's stem
  std::string title;    // the complaint in a few words
  std::string unit;     // empty: no unit
  std::string variant;  // empty: not known
  std::string version;  // the same of a unit that has versions
  Place unit_place, variant_place, version_place;
  std::string note;
  std::vector<CaseFact> facts;            // history and measurements
  std::vector<Observation> observations;  // complaints first, then the others, each in the order of the file
  // Findings that were asked about and could not be answered: not to be asked again.
  std::vector<CaseFact> unknown;
  // Access that is there already, by name: its minutes are not to be paid again.
  std::vector<std::string> open;
  std::vector<CaseFact> found;  // faults found at teardown
  // What was done about it: facts of work, and faults that were put right without a new part. They say
  // nothing of the unit as it came in.
  std::vector<CaseFact> work, mended;
  // What was looked at once the work was done.
  std::vector<Observation> tried;
  // The case it has come back from, whose work is history here; empty: none. Its facts stand in `facts`.
  std::string after;
  std::vector<Expectation> expect;
  Place place;
};

}  // namespace gearwhy
