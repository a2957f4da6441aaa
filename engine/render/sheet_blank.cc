// The sheet to fill in: what is to be measured, in the order in which the unit comes apart, with room to
// write.
#include <fmt/format.h>

#include "engine/model/access.h"
#include "engine/render/html.h"
#include "engine/render/pieces.h"
#include "engine/render/sheet_html.h"
#include "engine/render/sheet_parts.h"

namespace gearwhy {
namespace {

std::string Row(const DueMeasurement& due, const Speaker& speaker) {
  std::string with = Capitalised(JoinNames(due.with, "or"));
  if (const std::string late = TooLateText(due, speaker); !late.empty()) with += ". " + late;
  return fmt::format("<tr><th scope=\"row\">{}</th><td class=\"blank\">{}</td><td>{}</td><td>{}</td></tr>\n",
                     EscapeHtml(AsSentence(speaker.SayWith(due.fact, "..."))),
                     EscapeHtml(BaseUnit(due.dimension)), EscapeHtml(DueLimitsText(due, speaker)),
                     EscapeHtml(with));
}

std::string Table(const std::string& rows) {
  return fmt::format(
      "<table class=\"blanks\">\n<thead><tr><th scope=\"col\">What is measured</th>"
      "<th scope=\"col\">Reading</th><th scope=\"col\">Limits</th><th "
      "scope=\"col\">With</th></tr></thead>\n<tbody>\n{}"
      "</tbody>\n</table>\n",
      rows);
}

}  // namespace

std::string BlankSheetHtml(const BenchReport& report, const std::vector<std::string>& layers,
                           const Speaker& speaker) {
  const std::string title = fmt::format("To measure: {}", report.title);
  std::string html =
      "<header>\n" + Tagged("h1", title) +
      Tagged("p", SubjectText(report.case_id, report.variant, speaker), "aside") +
      Tagged("p",
             "Limits are those of the book for this variant; the maker's procedure and table come first.") +
      "</header>\n<main>\n";
  std::vector<std::string> cautions;
  std::string rows;
  int groups = 0;
  for (std::size_t i = 0; i < report.due.size(); ++i) {
    const DueMeasurement& due = report.due[i];
    AddNames(due.cautions, cautions);
    rows += Row(due, speaker);
    if (i + 1 < report.due.size() && report.due[i + 1].access == due.access) continue;
    const std::string access = speaker.SayAccess(due.access);
    const std::string heading = access.empty() ? "As it stands" : Capitalised(access);
    html += Section(fmt::format("group-{}", ++groups), heading, Table(rows));
    rows.clear();
  }
  if (report.unit.empty())
    html += Tagged(
        "p", "The case names no `unit`, and only a unit tells which parts there are and what they measure.");
  else if (report.due.empty())
    html += Tagged("p", "Nothing that the book knows how to measure is left.");
  HtmlPage care(3);
  for (const std::string& caution : cautions) care.Paragraph("!", speaker.SayCaution(caution));
  html += Section("care", "Cautions", care.Html());
  html += Section("notes", "Notes", NoteLines(6)) + "</main>\n" + Foot(report.case_id, layers);
  return HtmlDocument(title, html);
}

}  // namespace gearwhy
