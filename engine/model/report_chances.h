// Report chances: how likely a report is when the event is present, and when it is not.
//
// In: how far the report is trusted, how common the event is, whether it is reported present or absent, and what the
// case says of the circumstances. Out: the two chances. All reports, of cases, of rules and of answers, get
// theirs here.
// Method. Trust says of a hundred troubles how many are noticed (s), and of a hundred reports of one how many are
// mistaken (m), whatever is reported. With p the chance of the event in such a unit before its history and
// before anything is seen, Bayes' rule leaves one rate of false alarms with which that is so:
//   P(reported present | absent) = m / (1 - m) × s p / (1 - p)
// A rare trouble that somebody reports is believed as much as a common one. Of what is more common than not,
// false alarms stay those of even odds: else a report that it is absent would say nothing. Not with the
// history in p: that would take back what the history says. A trouble that comes only hot shows on a cold
// drive in some of them alone: the share that is missed so is taken off what would be noticed. Whether it
// comes only hot is told by a finding of its own (`shown_by`), about any of the things that the event speaks
// of; where nobody has said, a smaller share is taken off. Nothing is taken off for a report that does not
// say under which circumstances it was made: it counts as made under those of the complaint. False alarms are
// as many under any circumstances.
// Cost: a few look-ups. Errors: none.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "engine/model/words.h"

namespace gearwhy {

struct ReportChances {
  double p_if_present = 1;
  double p_if_absent = 0;
};

// `p_common`: the chance of the event before history and reports. `p_missed`: of a hundred events that are
// there and would be noticed, those that the circumstances hide.
ReportChances ChancesOfReport(const Trust& trust, double p_common, bool present, double p_missed = 0);

// Whether a finding has been reported present (true) or absent (false).
using Reported = std::function<std::optional<bool>(const Statement&)>;

// What the circumstances `under` which an event was looked for hide of it, from 0 to 1.
double MissedUnder(const Words& words, const Statement& event, const std::vector<std::string>& under,
                   const Reported& reported);

// Whether the event itself tells under which circumstances a trouble comes: no drive can hide that.
bool TellsCircumstances(const Words& words, const Statement& event);

// Whether it tells how a trouble comes that was looked for and not found: of all events reported present that
// speak of the same thing, each has also been reported absent. Then it speaks of nothing.
bool TellsOfNothing(const Words& words, const Statement& event, const std::vector<Statement>& present,
                    const std::function<bool(const Statement&)>& reported_absent);

// The circumstances under which this event is known to come.
std::vector<std::string> ComesUnder(const Words& words, const Statement& event, const Reported& reported);

}  // namespace gearwhy
