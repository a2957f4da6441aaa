// Lint: what in a rulebook is allowed and yet most likely a slip.
//
// In: a rulebook, and every transmission that it is for, made ground with nothing observed and again with
// everything observed. Out: findings, each with the name of its lint, at its place; without those that a file
// lets stand (`lint:` with `ignore`, `at` and `because`), and a word on what is let stand and is not there.
//
//   plain-letter       a name of a range, an element or a part that no unit has: a `$` was forgotten, or it is misspelt (error)
//   no-part-kind       the same of a kind of part (error)
//   never-applies      a chart, a line of one, a chance, a check or a factor's entry that applies in no unit
//   unused-rule        nothing asks for what the rule concludes
//   untold             a finding that no check, measurement or rule tells, and no customer would
//   tells-nothing      a check without findings
//   said-twice         one finding stands twice in a check, or one is always so when the other is: ticking one denies the other
//   chart-and-factor   a factor on a fault asks for a fact by which a chart already brings that fault about
//   impossible         a finding that can never be so, or is always so, in some unit; a report of it would contradict itself
//   trusted-wholly     a trust by which nothing is missed or nothing mistaken: two reports could contradict each other for good
//   no-because         an entry, or a line, without a reason
//   out-of-reason      minutes above ten hours, odds above 100 or below 1 in 100
//
// Two decisions for one part are decision_conflicts.h's; what is wrong for certain, the loaders say.
// Cost: that of a gap survey, a join a check and transmission.
#pragma once

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "engine/ground/diagnose.h"

namespace gearwhy {

// In the order in which they stand above.
const std::vector<std::string>& LintNames();

class LintSurvey {
 public:
  // The book must outlive this.
  explicit LintSurvey(const Rulebook& book) : book_(book) {}

  // Both of the same unit and variant, made of this book.
  void AddTransmission(const Diagnosis& unobserved, const Diagnosis& all_observed);

  // Reports what was found: slips as errors, the rest as warnings, each by the name of its lint as its code.
  void Report(Diagnostics& diagnostics) const;

 private:
  struct Found {
    std::string_view lint;
    std::string id;  // of the entry
    Place place;
    std::string message;
    bool is_error = false;
  };
  class Finder;

  void AddNetwork(const Diagnosis& diagnosis);

  const Rulebook& book_;
  std::size_t transmissions_ = 0;
  bool has_units_ = false;
  KindMembers members_;                            // of all units, by kind
  std::set<const void*> used_;                     // entries and lines; looked up only
  std::map<std::string, std::string> impossible_;  // by finding: where, and how
};

}  // namespace gearwhy
