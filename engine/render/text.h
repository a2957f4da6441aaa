// Text: reports for a person with oily hands. The answer comes first, where and then what; three suspects;
// reasons in whole sentences; everything else on request. Fits the width of the style and needs no colour.
#pragma once

#include <string>

#include "engine/advise/next_report.h"
#include "engine/drivetrain/unit_table.h"
#include "engine/explain/rank_report.h"
#include "engine/explain/why_report.h"
#include "engine/render/page.h"
#include "engine/study/gaps.h"

namespace gearwhy {

struct RankTextOptions {
  int suspects = 3;
  int evidence = 3;      // lines of reasons a suspect
  bool details = false;  // all suspects and all evidence, with sources, and the rulebook's hashes
};
std::string RankText(const RankReport& report, const LookNext& next, const TextStyle& style,
                     const RankTextOptions& options = {});

std::string WhyText(const WhyReport& report, const TextStyle& style);
std::string WhyNotText(const WhyNotReport& report, const TextStyle& style);
// How far the chances of the page can be relied on, where they are not exact: its first lines.
void SayExactness(const ExactnessNote& note, Page& page);
// What the case comes to, and what to do about the unit, in a sentence each.
std::string OutcomeText(const Outcome& outcome);
std::string AdviceText(const PullDecision& pull);
std::string ChangeText(const PullChange& change);
std::string NextText(const NextReport& report, const TextStyle& style);
std::string GapsText(const GapReport& report, const TextStyle& style);
std::string UnitText(const UnitTable& table, const TextStyle& style);

}  // namespace gearwhy
