// The interview as text: a question, why it is asked, what an answer moved, where it has come to.
#include "engine/render/interview_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/render/pieces.h"

namespace gearwhy {
namespace {

std::string FirstSentence(const std::string& text) {
  const std::size_t end = text.find(". ");
  return end == std::string::npos ? text : text.substr(0, end + 1);
}

// "with the pan off, 35 min to get there; then 3 min".
std::string Cost(const NextCheck& check, const Speaker& speaker) {
  const std::string there = speaker.SayAccess(check.access_name);
  const double access = check.minutes - check.own_minutes;
  if (access < 0.5) return fmt::format("{}, {}", there, ShowMinutes(check.own_minutes));
  return fmt::format("{}, {} to get there and {} for it", there, ShowMinutes(access),
                     ShowMinutes(check.own_minutes));
}

// "About 4 checks and 2 h until the cause is seen."
std::string StillToCome(const NextCheck& check) {
  if (!(check.minutes_to_cause > 0)) return "";
  const double checks = std::max(1.0, std::round(check.checks_to_cause));
  return fmt::format("About {} check{} and {} until the cause is seen.", checks, checks == 1 ? "" : "s",
                     ShowMinutes(check.minutes_to_cause));
}

void Moves(std::string_view if_so, const std::vector<Move>& moves, const Speaker& speaker, Page& page) {
  page.Paragraph("  ", if_so);
  if (moves.empty()) page.Paragraph("    ", "hardly anything moves.");
  for (const Move& move : moves) {
    const std::string shown = ShowMove(move.now, move.then);
    if (!shown.empty()) page.Pair("    ", AsSentence(speaker.Say(move.statement)), shown);
  }
}

}  // namespace

void LetSpeak(InterviewHost& host) {
  const Words& words = host.book->words;
  const Sources& sources = *host.sources;
  host.say = [&words, &sources](const Unit* unit, const Statement& statement) {
    return Speaker(words, unit, sources).Say(statement);
  };
  host.say_values = [&words, &sources](const Unit* unit) -> SayValueOf {
    const auto speaker = std::make_shared<const Speaker>(words, unit, sources);
    return [speaker](const Value& value, const Slot& slot) { return speaker->SayValue(value, slot); };
  };
}

std::string ShowMove(double before, double after) {
  const auto whole = [](double p) { return p >= 0.01 && p <= 0.995; };
  const std::string from = ShowChance(before), to = ShowChance(after);
  if (from == to) return "";
  if (whole(before) && whole(after)) return fmt::format("{:.0f} → {:.0f} in 100", before * 100, after * 100);
  return fmt::format("{} → {}", from, to);
}

PromptText QuestionText(const NextQuestion& question, const Speaker& speaker,
                        const std::set<std::string>& general, std::set<std::string>& shown,
                        const TextStyle& style) {
  const NextCheck& check = question.check;
  Page care(style);
  std::string again;
  for (const std::string& name : check.cautions) {
    const std::string caution = speaker.SayCaution(name);
    if (shown.insert(caution).second) {
      care.Paragraph("  ! ", caution);
    } else if (!general.contains(caution)) {
      again += (again.empty() ? "" : " ") + FirstSentence(caution);
    }
  }
  Page page(style);
  page.Heading(AsSentence(speaker.Say(check.says)));
  page.Aside("  ", fmt::format("{} {}", AsSentence(Cost(check, speaker)), StillToCome(check)));
  if (!again.empty()) page.Paragraph("  ! ", "As before: " + again);
  page.Paragraph("  ", speaker.Say(check.how));
  if (!check.only_in.empty()) page.Paragraph("  ", OnlyInText(check.only_in, speaker));
  if (!question.how_under.empty()) page.Paragraph("  ", question.how_under);
  return {care.text().empty() ? "" : "\nTake care\n" + care.text(), "\n" + page.text()};
}

std::string WhyAskedText(const NextQuestion& question, const Speaker& speaker, const TextStyle& style) {
  const NextCheck& check = question.check;
  Page page(style);
  const std::string tells =
      fmt::format("{:.2g} bits about the faults in {}", check.bits, ShowMinutes(check.minutes));
  const std::string what = Capitalised(speaker.Say(check.says));
  page.Paragraph(
      "", check.minutes_to_cause > 0
              ? fmt::format("{} comes first on the shortest way to the cause that gearwhy sees now, by which "
                            "the cause is expected to be seen within {}. It tells {}.",
                            what, ShowMinutes(check.minutes_to_cause), tells)
              : fmt::format("{} tells most for its time of all that can be looked at now: {}.", what, tells));
  if (!check.worked_out) return page.text();
  const bool several = check.findings.size() > 1;
  int shown = 0;
  for (const AskedFinding& finding : check.findings) {
    if (finding.if_alone.empty()) continue;
    if (++shown > 3) break;
    Moves(fmt::format("If {}{} ({}):", speaker.Say(finding.event), several ? ", and nothing else of it" : "",
                      ShowChance(finding.chance)),
          finding.if_alone, speaker, page);
  }
  Moves(fmt::format(
            "If {} ({}):", several ? "none of it is so" : speaker.Say(check.findings.front().event, false),
            ShowChance(check.chance_none)),
        check.if_none, speaker, page);
  return page.text();
}

std::string MovedText(const std::vector<MovedSuspect>& moved, const Speaker& speaker,
                      const TextStyle& style) {
  std::string text;
  for (const MovedSuspect& suspect : moved) {
    const std::string shown = ShowMove(suspect.before, suspect.after);
    if (shown.empty()) continue;
    Page page(style);
    page.Pair("  ", AsSentence(speaker.Say(suspect.statement)), shown);
    if (LinesOf(text + page.text()) <= kMostRankingLines) text += page.text();
  }
  if (!text.empty()) return text;
  Page page(style);
  page.Paragraph("  ", "The ranking stays as it was.");
  return page.text();
}

namespace {

std::string_view HeadingOf(const Standing& standing) {
  switch (standing.kind) {
    case NextStep::Kind::kSettled:
      return "It has been seen";
    case NextStep::Kind::kUnitOut:
      return MayStayIn(standing.pull.outcome) ? "With the unit in, nothing more is worth its time"
                                              : "The shortest way to the cause needs the unit out";
    case NextStep::Kind::kAsk:
      return "So far";
    case NextStep::Kind::kEnough:
      return "Nothing more is worth asking now";
  }
  return "";
}

void SayRepair(const Suspect& suspect, bool unit_is_out, std::string_view margin, const Speaker& speaker,
               Page& page) {
  page.Paragraph(
      margin, fmt::format("Its repair: {}.{}", speaker.SayAccess(suspect.repair),
                          suspect.needs_unit_out && !unit_is_out ? " The unit must come out for it." : ""));
}

void SayFaults(const Standing& standing, const Speaker& speaker, Page& page) {
  if (standing.where)
    page.Pair("  Where: ", AsSentence(speaker.Say(standing.where->statement)),
              ShowChance(standing.where->chance));
  if (standing.lead) {
    page.Pair("  What:  ", AsSentence(speaker.Say(standing.lead->statement)),
              ShowChance(standing.lead->chance));
    if (!standing.lead->repair.empty()) SayRepair(*standing.lead, standing.unit_is_out, "  ", speaker, page);
  } else {
    page.Paragraph("  ", "The rulebook knows no fault that this could be.");
  }
  if (!standing.one_of_two.empty()) {
    std::vector<std::string> named;
    for (const PlaceAccount& account : standing.one_of_two) {
      const AccountPlace& at = account.places.front();
      named.push_back(
          fmt::format("{} ({})", SayPlaceName(at.place, at.statement, speaker), ShowChance(account.chance)));
    }
    page.Paragraph("  ", fmt::format("Most likely one of two: {}.", JoinNames(named, "or")));
  }
  if (!standing.besides.empty()) page.Paragraph("  ", "Besides, most likely:");
  for (const Suspect& suspect : standing.besides) {
    page.Pair("  · ", AsSentence(speaker.Say(suspect.statement)), ShowChance(suspect.chance));
    SayRepair(suspect, standing.unit_is_out, "    ", speaker, page);
  }
}

void SayPull(const Standing& standing, const Speaker& speaker, Page& page) {
  const PullAdvice advice = standing.pull.advice;
  // That a repair which has nothing to do with it leaves the unit in goes without saying.
  const bool goes_without_saying = advice == PullAdvice::kLeaveIn &&
                                   standing.kind == NextStep::Kind::kEnough &&
                                   !(standing.lead && standing.lead->needs_unit_out);
  if (advice == PullAdvice::kUnknown || advice == PullAdvice::kIsOut || goes_without_saying) return;
  page.Paragraph("  ", OutcomeText(*standing.pull.outcome));
  page.Paragraph("  ", AdviceText(standing.pull));
  for (const PullChange& change : standing.pull.changes) {
    if (advice == PullAdvice::kLookFirst) page.Paragraph("  · ", ChangeText(change, speaker));
  }
}

void SayUnexplained(const std::vector<Unexplained>& unexplained, const Speaker& speaker, Page& page) {
  if (unexplained.empty()) return;
  page.Heading("Not explained yet");
  for (const Unexplained& event : unexplained) {
    page.Paragraph(
        "  ", fmt::format("{}{}: {}.", event.complaint ? "Complaint: " : "", speaker.Say(event.statement),
                          event.known ? fmt::format("{} that a known cause brought it about",
                                                    ShowChance(event.chance_explained))
                                      : "the rulebook knows no cause of it here"));
  }
}

}  // namespace

std::string StandingText(const Standing& standing, const Speaker& speaker, const TextStyle& style) {
  Page page(style);
  SayExactness(standing.exactness, speaker, page);
  if (!standing.exactness.known) return page.text();
  page.Heading(HeadingOf(standing));
  if (!standing.which_variant.may_be.empty())
    page.Paragraph("  ", WhichVariantText(standing.which_variant, speaker));
  SayFaults(standing, speaker, page);
  SayPull(standing, speaker, page);
  if (standing.settles) {
    page.Pair("  ", fmt::format("What would tell most: {}.", speaker.Say(standing.settles->says)),
              fmt::format("{}, {}", speaker.SayAccess(standing.settles->access_name),
                          ShowMinutes(standing.settles->minutes)));
  }
  if (!standing.while_open.empty()) {
    page.Heading("While that is open, look at these, too");
    for (const NextCheck& check : standing.while_open)
      page.Pair("  · ", AsSentence(speaker.Say(check.says)), ShowMinutes(check.own_minutes));
  }
  SayUnexplained(standing.unexplained, speaker, page);
  return page.text();
}

}  // namespace gearwhy
