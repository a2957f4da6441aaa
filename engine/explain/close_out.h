// Close-out: whether what was found and done explains every complaint, so that the unit can be given back.
//
// In: a diagnosis of the case with what the teardown found among its reports (WithFound), and what was done: facts of
// `work`, some of which make a part new, faults that were `mended` without a new part, and what was `tried`
// since. Out: what is the root and what follows from it, the chance of each complaint that it would still be
// there, what is not mended, what has no explanation, which tests are due; ready, or what keeps it from being
// so.
// Method. A fault is gone when its part is new or it was mended; a new part is bad again by the chance that
// the rulebook gives it with the work for its history (new parts, handled parts). What then remains of each
// complaint says belief/after_repair.h.
// Cost: one more grounding of the case, and one more pass over a network up to twice as large.
// Errors: none. Threads: as of a diagnosis.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/explain/part_decisions.h"
#include "engine/explain/rank_report.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

// The case with the faults that were found as reports of the teardown.
Case WithFound(Case c, const Words& words);

struct FoundFault {
  Statement statement;
  double chance = 0;  // given everything
  Role role = Role::kOpen;
  std::optional<Statement> comes_of;  // a consequence: of what else was found, or is thought to be so
  bool mended = false;
};

struct ComplaintAfter {
  Statement statement;
  double before = 0;       // its chance, given everything that was seen
  double after = 0;        // that it would still be there
  bool was_tried = false;  // somebody looked for it since
  Place place;
};

// A test that is due.
struct DueTest {
  std::string id;  // of its entry; one is made of each thing that it speaks of
  Phrase says, how, because;
  std::string access;
  std::vector<std::string> cautions;
  bool needed = false;
  bool done = false;
};

// What keeps a case from being closed. What exactly, the lists beside it tell.
enum class NotReady {
  kNothingFound,
  kNoRoot,            // something that was found follows from what nobody has found
  kNotMended,         // a fault was found, or is more likely than not, and is not mended
  kPartNotRenewed,    // the decisions ask for it, by what was found or measured
  kComplaintRemains,  // a complaint may well be still there
  kUnexplained,       // something was seen that nothing known explains
  kTestDue,           // a test that is needed has not been made
  kNotExact,          // the chances could not be worked out exactly
};
std::string_view NotReadyName(NotReady why);

struct CloseOut {
  bool begun = false;               // something was found or done; else nothing below is filled in
  std::vector<NotReady> not_ready;  // empty: ready
  std::vector<FoundFault> found;    // in the order of the case
  std::vector<FoundFault> thought;  // not found, but more likely than not; likeliest first
  std::vector<ComplaintAfter> complaints;
  std::vector<Unexplained> unexplained;
  std::vector<std::string> to_renew;  // parts, in the order of the unit
  std::vector<DueTest> tests;         // in the order of the book
  bool exact = true;
};

// `parts`: the decisions of the same diagnosis.
CloseOut MakeCloseOut(const Diagnosis& diagnosis, const std::vector<PartDecision>& parts);

}  // namespace gearwhy
