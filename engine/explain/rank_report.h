// Rank report: the answer for one case as data. Renderers turn it into text or JSON and compute nothing.
//
// In: a Diagnosis, whose rulebook must outlive the report. Out: where the trouble is, which faults are
// suspected with what speaks for and against each, in which places it broke, and complaints that nothing
// explains. What to look at next is advise/'s.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/explain/exactness.h"
#include "engine/explain/follows.h"
#include "engine/explain/origin.h"
#include "engine/explain/part_decisions.h"
#include "engine/explain/place_accounts.h"
#include "engine/model/policy.h"

namespace gearwhy {

// One report and how it moves a suspect.
// A reading beside one of its limits, at the place that is worst for it.
struct ReadingSaid {
  Statement fact;  // with the number
  Limit limit;
  Dimension dimension = Dimension::kNumber;
  double p_beyond = 0;  // by this reading alone
  Stand stand = Stand::kCannotTell;
  bool contradicts = false;  // its readings contradict each other
};

struct EvidenceItem {
  std::string event;  // "no_drive:R"
  Statement statement;
  bool present = true;     // as reported
  double odds_factor = 1;  // odds with all reports / odds without this one; above 1 speaks for the suspect
  // It moves the suspect against what it says of it: present, and the suspect brings it about, but others do
  // better; or absent, which others had to bring about more often.
  bool by_rivals = false;
  Origin origin;  // the case, or the rule that concluded it
  // Where it may be several variants: those in which the rule concludes it, if not in all, and those in which
  // a rule concludes the opposite.
  std::vector<std::string> only_in = {}, opposite_in = {};
  // What was measured, where it is that; `statement` is then what lies beyond the limit, which it may be too
  // close to to tell.
  std::optional<ReadingSaid> reading = {};
};

enum class Role { kRoot, kConsequence, kOpen };
std::string_view RoleName(Role role);  // "root", "consequence", "open"

// What a suspect may have brought about.
struct Consequence {
  int event = -1;
  std::string fault;
  Statement statement;
  double chance = 0;
};

struct Suspect {
  int event = -1;     // by the network's numbers
  std::string fault;  // "lip_cracked:E.piston"
  std::string part;   // "E.piston"; empty when the fault is of no part
  std::string mode;   // "lip_cracked"
  Statement statement;
  double chance = 0;
  double before = 0;  // with nothing observed, but with the history (MakeSuspect leaves it to its caller)
  bool needs_unit_out = false;
  std::string repair;  // the access that its repair needs, a name in the words; empty when not said
  Role role = Role::kOpen;
  std::vector<Consequence> follows;  // likeliest first; each stands with the likeliest of its causes
  // Causes in the same place that are about as likely, itself among them.
  int alike = 1;
  FaultPlace place;
  std::vector<std::string> only_in;    // the variants that have it, where it may be others
  std::vector<EvidenceItem> evidence;  // strongest first; only what moves the odds by kLeastStrength or more
};

// Where nobody has said which variant it is: one that it may be.
struct VariantChance {
  std::string variant;  // a name of the unit
  double chance = 0;
  double before = 0;  // with nothing observed
};

// A part that tells one of them from another: by being there, or by how many there are.
struct VariantSign {
  std::string part;
  std::vector<std::string> only_in;                // those that have it, where not all do
  std::vector<std::pair<std::string, int>> count;  // else how many each has
};

// Nothing in it where it is known which.
struct WhichVariant {
  std::vector<VariantChance> may_be;  // in the order of the unit
  std::vector<VariantSign> signs;     // those by being there first, then in the order of the unit
};

struct WherePlace {
  std::string state;
  Statement statement;
  double chance = 0;
};

// A complaint or observation that the rulebook does not explain.
struct Unexplained {
  std::string event;
  Statement statement;
  bool complaint = false;
  double chance_explained = 0;  // by any known cause, given everything; 0 where the rulebook knows none
  bool known = true;            // false: nothing in the rulebook speaks of it for this unit
  Place place;                  // of the observation
};

// An event of which one report says that it is present, and another that it is absent.
struct Contradiction {
  EvidenceItem says, denies;
  bool complaint = false;  // `says` is one
  double chance = 0;       // of the event, given everything
  bool refuted = false;    // a complaint that was more likely a mistake
};

// Exactness, with the reports that are left out as evidence.
struct ExactnessNote {
  bool exact = true;
  bool known = true;  // false: no chances are shown
  double error = 0;
  int firm = 0;  // so many reports of something absent are taken for certain
  std::vector<EvidenceItem> left_out;
};

struct RankReport {
  std::string case_id, title, unit, variant;  // unit and variant are names, empty when not known
  WhichVariant which_variant;
  std::vector<WherePlace> where;  // likeliest first
  // Causes that the reports speak for, likeliest first, ties by id; then those that are as likely as in any
  // such unit; then what is a mere consequence of none of them.
  std::vector<Suspect> suspects;
  PlaceAccounts accounts;
  std::vector<Unexplained> unexplained;
  std::vector<Contradiction> contradictions;
  // Replace or reuse: of the suspects' parts, of those that lie open, and what the case itself has a say in;
  // of every part where a fact of the case asks for that.
  std::vector<PartDecision> parts;
  bool possible = true;  // false: the observations contradict each other with certainty
  bool nothing_observed = false;
  ExactnessNote exactness;
  bool reasons_left_out = false;  // they would take too long to work out: no evidence
  int observations = 0;
  std::string book_title, book_version, book_hash;
  std::vector<BookFile> files;
};

struct RankOptions {
  int suspects = 20;  // at most; those below `least_chance` are left out, but never the first three
  double least_chance = 0.005;
  // False: without evidence, chances before, accounts and what becomes of the parts.
  bool reasons = true;
};

// Which variant it may be, where that is not known.
WhichVariant WhichVariantOf(const Diagnosis& diagnosis);

// `unit_file` is nullptr when there is no unit.
RankReport MakeRankReport(const Diagnosis& diagnosis, const BookFile* unit_file, const BeliefLimits& limits,
                          const RankOptions& options = {});

// What one report says and where it comes from, without a factor.
EvidenceItem DescribeReport(const Diagnosis& diagnosis, int report);
ExactnessNote NoteExactness(const Diagnosis& diagnosis);
// What was reported present but is more likely to have come from none of the known causes than from one. What
// is seen commonly where nothing is wrong asks for no cause.
std::vector<Unexplained> FindUnexplained(const Diagnosis& diagnosis);
Role RoleOf(const Diagnosis& diagnosis, int event);
// By event: whether the reports speak for it: they have raised it, or it brings about something that was
// reported present, however well something else explains that. Without any report all are spoken for.
std::vector<char> SpokenFor(const Diagnosis& diagnosis, Follows& follows);
// One event as a suspect, with its evidence.
Suspect MakeSuspect(const Diagnosis& diagnosis, const Influence& influence, int event);

}  // namespace gearwhy
