// Gaps: what a rulebook says that can never matter, or never be settled.
//
// In: every transmission that the rulebook is for, made ground with nothing observed and again with
// everything observed (AddTransmission); cases, if there are any (AddCase). Out: the entries that stay idle
// in all of them.
//
//   fault     no part of any unit can have it; or no way leads from it to a finding, so nobody can ever see
//             it; or in some unit no check shows it directly (confirm.h), so nothing ever settles it; the
//             last only where the words have a trust that is `direct`
//   finding   no fault stands behind it in any unit, so it tells nothing
//   check     it never applies; or what it tells has no fault behind it
//   chart     no unit gets a link from it; so for one line of a chart
//   chance    it gives no fault to any unit (left out where the fault itself is listed)
//   repair    it applies to no part of any unit
//   repair beside its kind   a fault states another access (`repair:`) than the line of `repairs` for its kind of
//             part; explained by the `because` of its own repair
//   look beside the repair   a check shows a fault directly, but with another access than its repair needs: with
//             less opened than the repair is said to need, or with more
//   part without a verdict   no decision says of a part, in some unit and variant, what becomes of it; asked only
//             where the rulebook has decisions
//   answers alike   one fault brings two findings of one check about usually or more often, or the very same causes
//             bring about both, so that who ticks one of them denies the other and clears what is behind both
//   rule, decision   its conditions hold in no case; looked at only when there are cases
//
// An entry may say `gap_because:` why it is there all the same. Then its gap is explained; and if it is no
// gap, what it says is out of date. A way is a chain of links that ever act. "Everything observed" reports
// each finding present and absent at once, so that entries that wait for some report are not mistaken for
// idle.
// Cost: one walk over each network, one join for each check, rule and decision; pairs of findings of a check.
#pragma once

#include <cstddef>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "engine/ground/diagnose.h"

namespace gearwhy {

enum class GapKind {
  kFaultNowhere,
  kFaultUnseen,
  kFaultWithoutLook,
  kFindingUnexplained,
  kCheckNowhere,
  kCheckTellsNothing,
  kChartNowhere,
  kLineNowhere,
  kChanceNowhere,
  kRepairNowhere,
  kRepairBesideKind,
  kLookBesideRepair,
  kAnswersAlike,
  kPartUndecided,
  kRuleSilent,
  kDecisionSilent,
};
// As in JSON: "fault-nowhere".
std::string_view GapKindName(GapKind kind);
// As a heading: "Faults that no unit can have".
std::string_view GapKindSays(GapKind kind);

struct Gap {
  GapKind kind = GapKind::kFaultNowhere;
  // Of a word or an entry; of a line "chart:cause", of a look "check:fault", of answers
  // "check:finding+finding".
  std::string id;
  std::string source;   // file and line
  std::string because;  // empty: nobody explains it
};

// Ordered by kind, then as the rulebook has them.
struct GapReport {
  std::size_t transmissions = 0;  // units, with variants
  std::size_t cases = 0;
  std::vector<Gap> gaps;
  bool AllExplained() const;
};

// Every finding of the unit reported present and absent.
Case EverythingObserved(const Diagnosis& unobserved);

class GapSurvey {
 public:
  // The book must outlive this.
  explicit GapSurvey(const Rulebook& book) : book_(book) {}

  // Both of the same unit and variant.
  void AddTransmission(const Diagnosis& unobserved, const Diagnosis& all_observed);
  void AddCase(const Diagnosis& diagnosis);

  // Reports each explanation that is out of date as an error.
  GapReport Report(const Sources& sources, Diagnostics& diagnostics) const;

 private:
  void AddNetwork(const Diagnosis& diagnosis);
  void AddLooks(const Diagnosis& unobserved);
  void AddRepairs(const Diagnosis& unobserved);
  void AddAnswersAlike(const Diagnosis& unobserved);
  void AddUndecidedParts(const Diagnosis& unobserved);
  // What a check is a gap for, each with the id it is listed by.
  std::vector<std::pair<GapKind, std::string>> GapsOf(const Check& check) const;
  struct Judge;
  void JudgeWords(Judge& judge) const;
  void JudgeEntries(Judge& judge) const;

  const Rulebook& book_;
  std::size_t transmissions_ = 0, cases_ = 0;
  std::set<std::string> faults_, seen_faults_, faults_without_look_, explained_findings_;  // names of words
  // By name of the fault: whether its word says another access than its kind of part, in some unit.
  std::map<std::string, bool> own_repairs_;
  // By check: what it shows of faults with other access than their repairs, and its answers that are alike.
  std::map<std::string, std::set<std::string>> looks_beside_, alike_;
  // By "unit:part": where the unit says so.
  std::map<std::string, Place> undecided_;
  std::set<const void*> used_;     // entries and lines that apply somewhere; looked up only
  std::set<const void*> telling_;  // checks
};

}  // namespace gearwhy
