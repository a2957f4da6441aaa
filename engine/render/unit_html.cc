// A unit as a page: its levers, its apply chart, and what each failure does.
#include <fmt/format.h>

#include "engine/render/html.h"
#include "engine/render/pictures.h"
#include "engine/render/pieces.h"
#include "engine/render/print_fit.h"
#include "engine/render/sheet_html.h"
#include "engine/render/sheet_parts.h"

namespace gearwhy {
namespace {

std::string Cells(const std::vector<std::string>& cells) {
  std::string html = fmt::format("<tr><th scope=\"row\">{}</th>", EscapeHtml(cells.front()));
  for (std::size_t i = 1; i < cells.size(); ++i) html += fmt::format("<td>{}</td>", EscapeHtml(cells[i]));
  return html + "</tr>\n";
}

std::string HeadRow(const std::vector<std::string>& cells) {
  std::string html = "<thead><tr>";
  for (const std::string& cell : cells) html += fmt::format("<th scope=\"col\">{}</th>", EscapeHtml(cell));
  return html + "</tr></thead>\n";
}

std::string Failure(const std::vector<FailureRow>& rows, const std::string& element) {
  const std::string text = FailureText(rows, element);
  return text.empty() ? "No change in any range" : Capitalised(text);
}

std::string Elements(const UnitTable& table) {
  std::string html =
      "<table>\n" +
      HeadRow({"Element", "What it is", "Between", "If it does not hold", "If it does not release"}) +
      "<tbody>\n";
  for (const auto& element : table.elements)
    html +=
        Cells({element.element, element.says, element.between, Failure(table.fails_to_hold, element.element),
               Failure(table.fails_to_release, element.element)});
  return Scrolling("Elements", html + "</tbody>\n</table>\n");
}

std::string Torques(const UnitTable& table) {
  std::vector<std::string> head = {"Range"};
  for (const auto& element : table.elements) head.push_back(element.element);
  std::string html = "<table class=\"chart\">\n<caption>For one unit of input torque.</caption>\n" +
                     HeadRow(head) + "<tbody>\n";
  std::string shared;
  for (const RangeRow& row : table.ranges) {
    if (row.neutral) continue;
    std::vector<std::string> cells = {row.range};
    for (const ElementInRange& use : row.elements)
      cells.push_back(use.torque > 0 ? fmt::format("{:.3f}", use.torque) : "·");
    html += Cells(cells);
    if (row.torque_shared) shared += (shared.empty() ? "" : ", ") + row.range;
  }
  html = Scrolling("Torques", html + "</tbody>\n</table>\n");
  if (!shared.empty())
    html += Tagged(
        "p",
        fmt::format("In {} redundant elements share the torque; the split shown is the evenest.", shared),
        "aside");
  return html;
}

std::string List(const std::vector<std::string>& lines) {
  HtmlPage page(3);
  for (const std::string& line : lines) page.Paragraph("·", Capitalised(line));
  return page.Html();
}

}  // namespace

std::string UnitHtml(const GearsReport& gears, const Speaker& speaker) {
  const UnitTable& table = gears.table;
  std::string html = "<header>\n" + Tagged("h1", Capitalised(table.says)) + Tagged("p", table.unit, "aside") +
                     "</header>\n<main>\n";
  html += Section("sets", "Gearsets", List(table.gearsets));
  html += Section("levers-of", "The gears as levers", LeverPicture(gears, speaker));
  html += Section("chart", "Ratios and apply chart", ApplyChart(gears, speaker));
  html += Section("torques", "Torque in each element", Torques(table));
  html += Section("elements", "Elements", Elements(table));
  html += Section("variants", "Variants", List(table.variants));
  html += "</main>\n" + Foot(table.unit, {});
  return HtmlDocument(Capitalised(table.says), html, PrintFit(html));
}

}  // namespace gearwhy
