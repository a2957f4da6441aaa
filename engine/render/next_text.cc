// The next report as text: the verdict and the table of checks first, then the decision to pull the unit, as
// it costs most, and on request what each answer would change.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/render/text.h"
#include "engine/text/number.h"

namespace gearwhy {
namespace {

constexpr std::size_t kMostFindings = 3;
constexpr double kLeastSeveral = 0.01;  // of several findings at once: worth a line

void PrintPull(const PullDecision& pull, const Speaker& speaker, Page& page) {
  page.Heading("Must the unit come out?");
  if (pull.advice != PullAdvice::kUnknown && pull.outcome) page.Paragraph("   ", OutcomeText(*pull.outcome));
  page.Paragraph("   ", AdviceText(pull));
  // What would not keep it in anyhow is nothing to act on.
  const bool could_keep_it_in = pull.advice != PullAdvice::kPull && pull.advice != PullAdvice::kNothing;
  for (const PullChange& change : pull.changes) {
    if (could_keep_it_in) page.Paragraph("   · ", ChangeText(change, speaker));
  }
  page.Blank();
}

void PrintMoves(const std::string& answer, const std::vector<Move>& moves, const Speaker& speaker,
                Page& page) {
  page.Paragraph("   ", fmt::format("If {}:", answer));
  if (moves.empty()) page.Paragraph("     ", "little changes.");
  for (const Move& move : moves) {
    page.Paragraph("     ", fmt::format("{}: {} → {}", speaker.Say(move.statement), ShowChance(move.now),
                                        ShowChance(move.then)));
  }
}

// The suspect of which the answers of a check are expected to tell most.
const Move* MostMoved(const NextCheck& check) {
  const Move* most = nullptr;
  double moved = 0;
  const auto weigh = [&](const std::vector<Move>& moves, double chance) {
    for (const Move& move : moves) {
      const double by = chance * std::abs(move.then - move.now);
      if (most != nullptr && by <= moved) continue;
      most = &move;
      moved = by;
    }
  };
  for (const AskedFinding& finding : check.findings) weigh(finding.if_alone, finding.chance);
  weigh(check.if_none, check.chance_none);
  return most;
}

// What, how long, with which access; and of which suspect it would tell most.
void PrintRow(const NextCheck& check, std::size_t number, const Speaker& speaker, Page& page) {
  page.Pair(fmt::format("{:>2} ", number), AsSentence(speaker.Say(check.says)),
            fmt::format("{}, {}", speaker.SayAccess(check.access_name), ShowMinutes(check.minutes)));
  if (const Move* most = check.worked_out ? MostMoved(check) : nullptr)
    page.Aside("   ", fmt::format("tells most of: {}", speaker.Say(most->statement)));
}

// One check: what it takes, what it tells, and what each of its answers would change.
void PrintCheck(const NextCheck& check, std::size_t number, const Speaker& speaker, Page& page) {
  page.Pair(fmt::format("{:>2} ", number), AsSentence(speaker.Say(check.says)),
            fmt::format("{}, {}", speaker.SayAccess(check.access_name), ShowMinutes(check.minutes)));
  page.Paragraph("   ",
                 fmt::format("Tells {}{:.2f} bits{}.", check.worked_out ? "" : "about ", check.bits,
                             check.minutes_to_cause > 0
                                 ? fmt::format("; with it first, the cause is expected to be seen within {}",
                                               ShowMinutes(check.minutes_to_cause))
                                 : ""));
  if (!check.worked_out)
    page.Paragraph("   ", "The case is too entangled to work out what each of its answers would change.");
  if (!check.only_in.empty()) page.Paragraph("   ", OnlyInText(check.only_in, speaker));
  const bool several = check.findings.size() > 1;
  for (std::size_t f = 0; check.worked_out && f < check.findings.size(); ++f) {
    if (f == kMostFindings) {
      page.Paragraph(
          "   ", fmt::format("It tells {}.", Counted(check.findings.size() - kMostFindings, "more finding")));
      break;
    }
    const AskedFinding& finding = check.findings[f];
    PrintMoves(fmt::format("{}{} ({})", speaker.Say(finding.event), several ? ", and nothing else of it" : "",
                           ShowChance(finding.chance)),
               finding.if_alone, speaker, page);
  }
  if (check.worked_out) {
    PrintMoves(fmt::format("{} ({})",
                           several ? "nothing of it is so" : speaker.Say(check.findings.front().event, false),
                           ShowChance(check.chance_none)),
               check.if_none, speaker, page);
    if (check.chance_several >= kLeastSeveral)
      page.Paragraph("   ", fmt::format("Several of them at once: {}; what that changes is not worked out.",
                                        ShowChance(check.chance_several)));
  }
}

}  // namespace

std::string ShowOutcome(double chance) {
  if (chance > 0.99) return "more than 99 in 100";
  return chance < 0.01 ? "less than 1 in 100" : ShowChance(chance);
}

std::string OutcomeText(const Outcome& outcome) {
  return fmt::format("Repair with the unit out: {}; with it in: {}; nothing to blame: {}.",
                     ShowOutcome(outcome.marked), ShowOutcome(outcome.others()),
                     ShowOutcome(outcome.nothing()));
}

std::string AdviceText(const PullDecision& pull) {
  switch (pull.advice) {
    case PullAdvice::kUnknown:
      return "That cannot be told yet.";
    case PullAdvice::kNothing:
      return "Leave it in: so far no fault is needed to explain what was reported. Look again when the "
             "trouble "
             "shows, under the conditions of the complaint.";
    case PullAdvice::kLeaveIn:
      return "Leave it in: what is to blame can most likely be mended with the unit in place.";
    case PullAdvice::kLookFirst:
      return "Look first: a check with the unit in place could still change this.";
    case PullAdvice::kOpen:
      return "It may have to come out or not, and no check with the unit in place is worth making for that.";
    case PullAdvice::kPull:
      return pull.worked_out ? "Take it out: no check with the unit in place is likely to change this."
                             : "Take it out. The case is too entangled to work out what each check with the "
                               "unit in place could change.";
    case PullAdvice::kIsOut:
      return "It is out already.";
  }
  return "";
}

std::string SayAnswer(const PullChange& change, const Speaker& speaker) {
  return change.answer ? speaker.Say(*change.answer, change.present) : "nothing of it is found";
}

std::string ChangeText(const PullChange& change, const Speaker& speaker) {
  return fmt::format("{} ({}): if {} ({}), then {}.", Capitalised(speaker.Say(change.check)),
                     ShowMinutes(change.minutes), SayAnswer(change, speaker), ShowChance(change.chance),
                     ShowChance(change.then));
}

std::string NextText(const NextReport& report, bool moves, const Speaker& speaker, const TextStyle& style) {
  Page page(style);
  SayExactness(report.exactness, speaker, page);
  page.Heading(report.title);
  page.Aside("", fmt::format("case {}", report.case_id));
  page.Blank();
  if (!report.exactness.known) return page.text();
  std::string text = page.text() + VerdictText(report.verdict, speaker, style);
  page = Page(style);
  page.Blank();
  if (!report.can_run) {
    page.Paragraph("", "Checks that need the vehicle to run are left out, because of what is open.");
    page.Blank();
  }
  if (report.checks.empty()) {  // the verdict says so
    PrintPull(report.verdict.pull, speaker, page);
    return text + page.text();
  }
  page.Heading("Next checks");
  std::set<std::string> cautions;
  for (std::size_t i = 0; i < report.checks.size(); ++i) {
    const NextCheck& check = report.checks[i];
    PrintRow(check, i + 1, speaker, page);
    for (const std::string& caution : check.cautions) cautions.insert(speaker.SayCaution(caution));
  }
  page.Blank();
  PrintPull(report.verdict.pull, speaker, page);
  if (moves) {
    page.Heading("What each answer would change");
    for (std::size_t i = 0; i < report.checks.size(); ++i) {
      PrintCheck(report.checks[i], i + 1, speaker, page);
      page.Blank();
    }
  } else {
    page.Aside("", "What each answer would change: --moves.");
    page.Blank();
  }
  page.Heading("Take care");
  for (const std::string& caution : cautions) page.Paragraph("   ", caution);
  if (cautions.empty())
    page.Paragraph("   ", "The vehicle maker's procedure, local codes and licensed practice come first.");
  return text + page.text();
}

}  // namespace gearwhy
