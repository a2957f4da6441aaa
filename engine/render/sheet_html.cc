// The sheet of a case: first what it comes to, then why, then the bench.
#include "engine/render/sheet_html.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/model/access.h"
#include "engine/render/html.h"
#include "engine/render/pictures.h"
#include "engine/render/pieces.h"
#include "engine/render/print_fit.h"
#include "engine/render/sheet_parts.h"

namespace gearwhy {
namespace {

constexpr std::size_t kSuspects = 3, kReadings = 4, kParts = 60;
constexpr int kReasons = 2;
constexpr int kNoteLines = 3;

std::string InShort(const SheetReport& report, const Speaker& speaker) {
  std::string html = VerdictHtml(report.next.verdict, speaker);
  if (report.next.outcome && !report.rank.nothing_observed)
    html += Tagged("p", OutcomeText(*report.next.outcome), "aside");
  return html;
}

std::string OneSuspect(const Suspect& suspect, std::size_t number, const Speaker& speaker) {
  HtmlPage page(3);
  page.Raw(fmt::format("<li><span class=\"number\">{}</span> <b>{}</b>\n{}", number,
                       EscapeHtml(AsSentence(speaker.Say(suspect.statement))),
                       ChanceBars(suspect.chance, suspect.before, fmt::format("bar-{}", number))));
  page.Paragraph(
      "", fmt::format("{}, {} before looking", ShowChance(suspect.chance), ShowChance(suspect.before)));
  for (const std::string& note : SuspectNotes(suspect, speaker, false)) page.Paragraph("", note);
  // Those of the first are the picture below.
  for (const EvidenceItem& item : StrongestEvidence(suspect.evidence, number == 1 ? 0 : kReasons))
    page.Paragraph(item.odds_factor > 1 ? "+" : "−", EvidenceLine(item, speaker));
  return page.Html() + "</li>\n";
}

std::string Suspects(const RankReport& report, const Speaker& speaker) {
  if (report.suspects.empty())
    return Tagged("p", "The rulebook knows no fault that this transmission could have.");
  std::string html = "<ol class=\"suspects\">\n";
  const std::size_t shown = std::min(kSuspects, report.suspects.size());
  for (std::size_t i = 0; i < shown; ++i) html += OneSuspect(report.suspects[i], i + 1, speaker);
  html += "</ol>\n";
  std::string legend = "Solid bar: the chance now. Open bar under it: the chance before looking.";
  if (shown < report.suspects.size())
    legend += fmt::format(" {} more: gearwhy rank CASE --details.", report.suspects.size() - shown);
  return html + Tagged("p", legend, "aside");
}

std::string NextChecks(const LookNext& next, const Speaker& speaker) {
  if (next.checks.empty()) return "";
  std::string html = "<ol class=\"looks\">\n";
  for (const NextCheck& check : next.checks) {
    HtmlPage page(3);
    page.Raw(fmt::format("<li><label><input type=\"checkbox\"/> <b>{}</b></label>\n",
                         EscapeHtml(AsSentence(speaker.Say(check.says)))));
    page.Paragraph("", fmt::format("{}, {}", Capitalised(speaker.SayAccess(check.access_name)),
                                   ShowMinutes(check.minutes)));
    page.Aside("", speaker.Say(check.how));
    if (!check.only_in.empty()) page.Paragraph("", OnlyInText(check.only_in, speaker));
    html += page.Html() + "</li>\n";
  }
  return html + "</ol>\n";
}

// Those that say most first.
std::string Readings(const BenchReport& report, const Speaker& speaker) {
  if (report.readings.empty()) return "";
  std::string html = Tagged("h3", "Readings");
  std::size_t shown = 0;
  for (const ReadingStand stand :
       {ReadingStand::kBeyond, ReadingStand::kCannotTell, ReadingStand::kWithin, ReadingStand::kNoLimit}) {
    for (const BenchReading& reading : report.readings) {
      if (StandOf(reading) != stand || shown == kReadings) continue;
      html += fmt::format("<figure>\n<figcaption>{}</figcaption>\n{}</figure>\n",
                          EscapeHtml(ReadingLine(reading, speaker)),
                          ReadingPicture(reading, fmt::format("reading-{}", ++shown), speaker));
    }
  }
  std::string legend =
      "Grey: within the limits. Dot: what was read, with its doubt (twice its standard uncertainty) to both "
      "sides.";
  if (shown < report.readings.size())
    legend += fmt::format(" {} more: gearwhy bench CASE.", report.readings.size() - shown);
  return html + Tagged("p", legend, "aside");
}

std::string MeasuredThings(const BenchReport& report, const Speaker& speaker) {
  const std::string margins = MarginsPicture(report.capacities, speaker),
                    readings = Readings(report, speaker);
  if (margins.empty() && readings.empty()) return "";
  std::string html = "<div class=\"beside\">\n";
  if (!readings.empty()) html += "<div>\n" + readings + "</div>\n";
  if (!margins.empty()) html += "<div>\n" + Tagged("h3", "Torque to spare") + margins + "</div>\n";
  return html + "</div>\n";
}

std::string TickList(const std::vector<PartDecision>& parts, std::string_view heading,
                     const Speaker& speaker) {
  if (parts.empty()) return "";
  std::string html = Tagged("h3", heading) + "<ul class=\"parts\">\n";
  for (std::size_t i = 0; i < std::min(kParts, parts.size()); ++i) {
    const PartDecision& part = parts[i];
    std::string name = Capitalised(speaker.SayName(part.part, "part"));
    if (part.count) name += fmt::format(" × {}", *part.count);
    if (!part.only_in.empty()) name += fmt::format(" ({})", SayVariants(part.only_in, "or", speaker));
    html += fmt::format("<li><label><input type=\"checkbox\"/> {}</label></li>\n", EscapeHtml(name));
  }
  html += "</ul>\n";
  if (parts.size() > kParts)
    html += Tagged("p", fmt::format("{} more: gearwhy bench CASE --parts.", parts.size() - kParts), "aside");
  return html;
}

std::string Parts(const SheetReport& report, const Speaker& speaker) {
  if (report.bench.parts.empty()) return "";
  HtmlPage decided(3);
  SayParts(report.parts.by_case, false, speaker, decided);
  std::string html = Tagged("p", BenchSummary(report.bench)) + decided.Html() +
                     TickList(report.parts.replace, "Replace", speaker) +
                     TickList(report.parts.look, "Measure or look at first", speaker);
  if (report.parts.more_to_look > 0)
    html += Tagged(
        "p",
        fmt::format(
            "{} more to measure or look at: gearwhy bench CASE --parts; gearwhy sheet --blank CASE has "
            "room for the readings.",
            report.parts.more_to_look),
        "aside");
  return html;
}

std::string Bench(const BenchReport& report, const Speaker& speaker) {
  HtmlPage page(3);
  SayPacks(report, false, speaker, page);
  SayChoices(report.choices, speaker, page);
  SayRenewals(report.renewals, false, speaker, page);
  return page.Html();
}

std::string WhyFirst(const SheetReport& report, const Speaker& speaker) {
  std::string html = ChainPicture(report.chain, speaker);
  if (html.empty() && report.why) html = Tagged("p", "Nothing that was observed bears on it.");
  HtmlPage page(3);
  SayInPlaces(report.rank, speaker, page);
  SayNotExplained(report.rank, speaker, page);
  return html + "<div class=\"two\">\n" + page.Html() + "</div>\n";
}

std::string Gears(const SheetReport& report, const Speaker& speaker) {
  if (!report.gears) return "";
  return LeverPicture(*report.gears, speaker) + FailureOfMarked(*report.gears, speaker) +
         ApplyChart(*report.gears, speaker);
}

std::string CloseOutHtml(const CloseOut& close, const Speaker& speaker) {
  HtmlPage page(3);
  if (!close.begun)
    page.Paragraph("", "Nothing was found or done yet: a case says so under `found`, `work` and `mended`.");
  SayCloseOut(close, {true, false}, speaker, page);
  std::string html = "<div class=\"two\">\n" + page.Html() + "</div>\n";
  if (close.tests.empty()) return html;
  html += Tagged("h3", "To be tried") + "<ul class=\"parts wide\">\n";
  for (const DueTest& test : close.tests)
    html +=
        fmt::format("<li><label><input type=\"checkbox\"{}/> {}</label></li>\n",
                    test.done ? " checked=\"checked\"" : "", EscapeHtml(Capitalised(speaker.Say(test.says))));
  return html + "</ul>\n";
}

std::string Cautions(const SheetReport& report, const Speaker& speaker) {
  std::vector<std::string> names;
  for (const NextCheck& check : report.next.checks) {
    AddNames(check.cautions, names);
    if (report.stage != CaseStage::kOpen) break;  // only the first is shown
  }
  for (const DueTest& test : report.bench.close_out.tests) {
    if (!test.done) AddNames(test.cautions, names);
  }
  HtmlPage page(3);
  page.Paragraph("!", "The vehicle maker's procedure, local codes and licensed practice come first.");
  for (const std::string& name : names) {
    const std::string says = speaker.SayCaution(name);
    if (says.find("licensed practice") == std::string::npos) page.Paragraph("!", says);
  }
  return "<div class=\"three small\">\n" + page.Html() + "</div>\n";
}

}  // namespace

std::string SheetHtml(const SheetReport& report, const Speaker& speaker) {
  const RankReport& rank = report.rank;
  std::string html = "<header>\n" + Tagged("h1", rank.title.empty() ? rank.case_id : rank.title);
  html += Tagged("p", SubjectText(rank.case_id, rank.variant, speaker), "aside");
  HtmlPage head(2);
  SayExactness(rank.exactness, speaker, head);
  if (rank.exactness.known && !rank.which_variant.may_be.empty())
    head.Paragraph("", WhichVariantText(rank.which_variant, speaker));
  if (const std::string reservation = ReservationText(rank); !reservation.empty())
    head.Paragraph("", reservation);
  html += head.Html() + "</header>\n<main>\n";
  if (rank.exactness.known) {
    html += Section("short", "In short", InShort(report, speaker));
    html += Section("suspects", "Suspects", Suspects(rank, speaker));
    html += Section("chain",
                    report.why ? fmt::format("Why {}", speaker.Say(report.why->suspect.statement)) : "Why",
                    WhyFirst(report, speaker));
    if (report.stage == CaseStage::kOpen)
      html += Section("next", "Look at next", NextChecks(report.next, speaker));
  }
  html += Section("gears", "The gears", Gears(report, speaker));
  html += Section("measured", "Measured and reckoned", MeasuredThings(report.bench, speaker));
  html += Section("bench", "On the bench", Bench(report.bench, speaker));
  html += Section("parts", "Parts", Parts(report, speaker));
  html += Section("close", "Before it is given back", CloseOutHtml(report.bench.close_out, speaker));
  html += Section("care", "Take care", Cautions(report, speaker));
  html += Section("notes", "Notes", NoteLines(kNoteLines));
  html += "</main>\n" + Foot(rank.case_id, report.layers);
  return HtmlDocument(rank.title.empty() ? rank.case_id : rank.title, html, PrintFit(html));
}

}  // namespace gearwhy
