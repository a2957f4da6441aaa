// Text: reports for a person with oily hands. The answer comes first, where and then what; three suspects;
// reasons in whole sentences; everything else on request. Fits the width of the style and needs no colour.
// The speaker is of the diagnosis that the report was made of.
#pragma once

#include <string>

#include "engine/advise/next_report.h"
#include "engine/drivetrain/unit_table.h"
#include "engine/explain/bench_report.h"
#include "engine/explain/rank_report.h"
#include "engine/explain/why_report.h"
#include "engine/render/page.h"
#include "engine/render/say.h"
#include "engine/study/expectations.h"
#include "engine/study/gaps.h"

namespace gearwhy {

struct RankTextOptions {
  int suspects = 3;
  int evidence = 3;      // lines of reasons a suspect
  bool details = false;  // all suspects and all evidence, with sources, and the rulebook's hashes
};
std::string RankText(const RankReport& report, const LookNext& next, const Speaker& speaker,
                     const TextStyle& style, const RankTextOptions& options = {});

// Of a report without reasons: where it is and what, each with its chance, a line each.
std::string ChancesText(const RankReport& report, int suspects, const Speaker& speaker,
                        const TextStyle& style);

// What, how sure, what to look at next, out or not: at most five lines. Empty where the chances are not
// known.
std::string VerdictText(const CaseVerdict& verdict, const Speaker& speaker, const TextStyle& style);
// The verdict alone, under the title of its case.
std::string BriefText(const std::string& title, const std::string& case_id, const ExactnessNote& exactness,
                      const CaseVerdict& verdict, const Speaker& speaker, const TextStyle& style);
// What the pages of a case end with.
std::string InShortText(const CaseVerdict& verdict, const Speaker& speaker, const TextStyle& style);

std::string WhyText(const WhyReport& report, const Speaker& speaker, const TextStyle& style);
std::string WhyNotText(const WhyNotReport& report, const Speaker& speaker, const TextStyle& style);
// How far the chances of the page can be relied on, where they are not exact: its first lines.
// "odds × 1.5"; of what only rivals move, that it is they: "other causes explain it better: odds ÷ 1.8".
std::string ShowMoved(const EvidenceItem& item);
void SayExactness(const ExactnessNote& note, const Speaker& speaker, Page& page);
// Which variant it may be, and what tells: "Variant not known: light duty 70 in 100, heavy duty 30 in 100.
// Only heavy duty has the second cooler."
std::string WhichVariantText(const WhichVariant& which, const Speaker& speaker);
// A clause: "line pressure reads low in reverse"; where limits differ "if light duty: line pressure does not
// read low in reverse; if heavy duty: line pressure reads low in reverse".
std::string EvidenceText(const EvidenceItem& item, const Speaker& speaker);
// "case x · three-speed, Simpson set · light duty"; `variant` empty where it is not known.
std::string SubjectText(const std::string& case_id, const std::string& variant, const Speaker& speaker);
// "light duty or heavy duty".
std::string SayVariants(const std::vector<std::string>& variants, std::string_view joint,
                        const Speaker& speaker);
// Verdicts about parts, those of one decision and reason together.
void SayParts(const std::vector<PartDecision>& parts, bool with_sources, const Speaker& speaker, Page& page);
// "Only in heavy duty."
std::string OnlyInText(const std::vector<std::string>& variants, const Speaker& speaker);
// What the case comes to, and what to do about the unit, in a sentence each.
std::string OutcomeText(const Outcome& outcome);
// One of its chances, in whole hundredths.
std::string ShowOutcome(double chance);
std::string AdviceText(const PullDecision& pull);
// "the pan holds bits of rubber": the answer that changes it.
std::string SayAnswer(const PullChange& change, const Speaker& speaker);
std::string ChangeText(const PullChange& change, const Speaker& speaker);
// "1.60 mm" with so many decimals at most.
std::string SayRounded(double value, int decimals, Dimension dimension);
// Cautions by name, whole, at the end of a page; nothing where there are none.
void SayCautions(const std::vector<std::string>& cautions, const Speaker& speaker, Page& page);
struct CloseOutOptions {
  bool found = false;  // what was found, with its root
  bool tests = false;  // every test that is due, with how
};
// Ready to close or not, and why; nothing where nothing was found or done.
void SayCloseOut(const CloseOut& close, const CloseOutOptions& options, const Speaker& speaker, Page& page);
// What each element carries of the torque that falls on it. Without `all` only where that is too little.
void SayCapacities(const std::vector<ElementCapacity>& capacities, bool all, const Speaker& speaker,
                   Page& page);
// Which washer or pin to take, and how far to turn a screw, where that was measured.
void SayChoices(const std::vector<ChoiceFit>& choices, const Speaker& speaker, Page& page);
// What is better renewed while it lies open; with `all` every part that was weighed, with its numbers.
void SayRenewals(const RenewalReport& report, bool all, const Speaker& speaker, Page& page);
struct BenchTextOptions {
  bool renew = false;  // what renewing is worth of every part that lies open
  bool parts = false;  // every part with its reason, not only those that something was found or measured of
  bool packs = false;  // every pack with its ring, not only those that were measured as built
  bool due = false;    // every measurement that is due, not only the first few
  CloseOutOptions close = {};
  bool capacity = false;  // what every element carries, in all ranges
};
std::string BenchText(const BenchReport& report, const Speaker& speaker, const TextStyle& style,
                      const BenchTextOptions& options = {});
// The sheet to fill in: what is to be measured, in the order in which the unit comes apart.
std::string BenchSheetText(const BenchReport& report, const Speaker& speaker, const TextStyle& style);
// The list of parts as comma-separated values (RFC 4180), a line a part: its id, what it is called, how many,
// what becomes of it, why, and for which variants where it may be several; where renewing was weighed, the
// chances in 100 to come back for it as it is and renewed, that at which both are alike, and whether it is
// worth renewing.
std::string PartsCsv(const BenchReport& report, const Speaker& speaker);
// A line a check; with `moves` also what each answer would change.
std::string NextText(const NextReport& report, bool moves, const Speaker& speaker, const TextStyle& style);
// One line, with where the expectation stands, what was wanted and what came out.
std::string UnmetText(const UnmetExpectation& unmet, const Sources& sources);
std::string GapsText(const GapReport& report, const TextStyle& style);
std::string UnitText(const UnitTable& table, const TextStyle& style);

}  // namespace gearwhy
