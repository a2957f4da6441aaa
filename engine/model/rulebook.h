// Rulebook: what the trade knows, read from YAML and validated against the words.
//
// In: all rulebook files (rules/, and a shop's folder over it). Out: immutable. Statement names, slots,
// kinds, variables, chances and references have been checked; cycles through `not` are the chain's to find,
// causal cycles the network's.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/model/layers.h"
#include "engine/model/measurement.h"
#include "engine/model/renewing.h"
#include "engine/model/statement.h"
#include "engine/model/words.h"

namespace gearwhy {

// One line of a chart: this cause, alone, produces the symptom about this often.
struct CauseLine {
  Pattern cause;  // an event
  double p_how_often = 0;
  std::vector<Condition> when;  // beyond the chart's own
  std::string because;
  std::string gap_because;  // see Word
  Place place;
};

// Symptom -> causes. Every variable of symptom and causes is bound by `when`.
struct Chart {
  std::string id;
  Pattern symptom;  // a state, a finding, or a fault that may also be a consequence
  std::vector<Condition> when;
  // Stated by exactly one of the charts of a symptom; faults have their chance instead.
  std::optional<double> p_unexplained;
  std::vector<CauseLine> causes;
  std::string because;
  std::string gap_because;  // see Word
  VariableKinds variables;  // those of its lines, too
  Place place;
};

// A background fact that multiplies the odds of a fault.
struct OddsFactor {
  std::string id;
  std::vector<Condition> when;
  double odds = 1;
  std::string because;
  Place place;
};

// How common a fault is in a unit that comes in, before any symptom.
struct Chance {
  std::string id;
  Pattern fault;
  std::vector<Condition> when;
  double p_chance = 0;
  std::vector<OddsFactor> factors;
  std::string because;
  std::string gap_because;  // see Word
  VariableKinds variables;
  Place place;
};

// What can be asked, looked at or measured.
struct Check {
  std::string id;
  std::string says;            // "a stall test in {range}": variables' names in braces
  std::vector<Pattern> tells;  // findings it answers
  // The finding that is so when any of these is, as long as all of it was tried: that none is so is then one
  // report, that this is absent.
  std::optional<Pattern> all_good;
  // Facts it gives numbers for: their quantities are Anything, all else is bound by `when`.
  std::vector<Pattern> measures;
  std::vector<Condition> when;
  double minutes = 0;  // once the access is there
  std::string access;
  bool running = false;   // the vehicle runs or drives for it
  std::string lost_with;  // the access with which what it looks at is disturbed; empty: with none
  std::string trust;      // how far its answer is trusted
  std::string how;
  std::vector<std::string> cautions;
  // Variables over which one and the same act goes: all their matches are one check.
  std::vector<std::string> at_once;
  std::string because;
  std::string gap_because;  // see Word
  VariableKinds variables;
  Place place;
};

// Several checks that are one act, as a glance at the stick tells level and colour: they are asked together.
struct JointLook {
  std::vector<std::string> of;  // ids of the checks, all of one access and trust
  Check as;                     // what is said of it, and its minutes; `tells` is empty: each of the checks has its own
};

// With which access every part of a kind is renewed or put right.
struct Repair {
  std::string part_kind;
  std::string access;
  std::vector<Condition> when;  // of the part, as `$part`; one that holds goes before an entry without any
  std::string gap_because;      // see Word
  Place place;
};

// What is said by naming some things and not the others (ground/silence.h).
struct Silence {
  std::string id;
  std::string trust;            // of the complaints that name some
  std::string over;             // the variable of `when` whose values might be named
  std::vector<Condition> when;  // what the values have to be
  // The chance that one is left unnamed although it is bad, and when it is good.
  double p_if_present = 1;
  double p_if_absent = 1;
  double named_at_most = 0.5;  // of the values: where more are named, silence says nothing
  std::string says;            // "the customer names only other ranges"
  std::string because;
  VariableKinds variables;
  Place place;
};

enum class Verdict { kReplace, kReuse, kMeasure };
std::string_view VerdictName(Verdict verdict);

// What a decision goes by; of several decisions of one part the one that goes by the first of these holds.
enum class DecisionBasis {
  kFound,     // harm that was found
  kMeasured,  // what it measures
  kTold,      // what is known of its history, or of the work
  kKind,      // what kind of part it is
};
std::string_view DecisionBasisName(DecisionBasis basis);  // "found", "measured", "told", "kind"

// Replace or reuse, for the parts that `part` walks over.
struct Decision {
  std::string id;
  Term part = Anything{};
  std::vector<Condition> when;
  std::vector<Pattern> found;  // events, of which one must have been observed present; empty: none need be
  DecisionBasis basis = DecisionBasis::kKind;
  Verdict verdict = Verdict::kMeasure;
  std::string because;
  std::string gap_because;  // see Word
  VariableKinds variables;
  Place place;
};

// What is tried before the unit is given back, and by which fact of the case's work it is known to be done.
struct FinalTest {
  std::string id;
  std::string says;  // "an air test of {e}": variables' names in braces
  std::vector<Condition> when;
  Pattern done;         // a fact
  std::string access;   // how far things are open for it, or are so still
  bool needed = false;  // without it the work is not ready to close
  std::string how;
  std::vector<std::string> cautions;
  std::string because;
  VariableKinds variables;
  Place place;
};

// A lint (study/lint.h) that is not to be told, of some entries or of all.
struct LintSwitch {
  std::string lint;
  std::vector<std::string> at;  // ids or names; empty: everywhere
  std::string because;
  Place place;
};

struct BookFile {
  std::string name;    // as shown
  std::string sha256;  // of its bytes
};

struct Rulebook {
  std::string title;
  std::string version;
  Words words;
  std::vector<Rule> rules;
  std::vector<Chart> charts;
  std::vector<Chance> chances;
  std::vector<Check> checks;
  std::vector<JointLook> looks;
  std::vector<Repair> repairs;
  std::vector<Silence> silences;
  std::vector<Decision> decisions;
  std::vector<FinalTest> final_tests;  // in the order of the book
  std::map<std::string, Instrument, std::less<>> instruments;
  std::map<std::string, Measurement, std::less<>> measurements;  // by the fact it gives a number for
  Renewing renewing;
  std::vector<LintSwitch> lint_off;
  std::vector<BookFile> files;
  Layers layers;
};

}  // namespace gearwhy
