// A unit as text: ratios and apply chart, torque shares, what each failure does.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "engine/render/pieces.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

// Columns padded to the widest cell; numbers to the right, the first column to the left.
class Grid {
 public:
  explicit Grid(std::vector<std::string> head) { rows_.push_back(std::move(head)); }
  void Add(std::vector<std::string> row) { rows_.push_back(std::move(row)); }

  void Print(Page& page) const {
    std::vector<int> widths(rows_[0].size(), 0);
    for (const auto& row : rows_) {
      for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], DisplayWidth(row[i]));
    }
    for (const auto& row : rows_) {
      std::string line;
      for (std::size_t i = 0; i < row.size(); ++i) {
        const std::string pad(static_cast<std::size_t>(widths[i] - DisplayWidth(row[i])), ' ');
        line += i == 0 ? row[i] + pad : "  " + pad + row[i];
      }
      page.Line("  ", line);
    }
  }

 private:
  std::vector<std::vector<std::string>> rows_;
};

void ApplyChart(const UnitTable& table, Page& page) {
  std::vector<std::string> head = {"", "ratio", "step"};
  for (const auto& element : table.elements) head.push_back(element.element);
  Grid grid(head);
  for (const RangeRow& row : table.ranges) {
    std::vector<std::string> cells = {row.range, row.neutral ? "·" : fmt::format("{:.3f}", row.ratio),
                                      row.step > 0 ? fmt::format("{:.2f}", row.step) : ""};
    for (const ElementInRange& use : row.elements) cells.push_back(std::string(UseMark(use.use)));
    grid.Add(std::move(cells));
  }
  grid.Print(page);
}

void Torques(const UnitTable& table, Page& page) {
  std::vector<std::string> head = {""};
  for (const auto& element : table.elements) head.push_back(element.element);
  Grid grid(head);
  for (const RangeRow& row : table.ranges) {
    if (row.neutral) continue;
    std::vector<std::string> cells = {row.range};
    for (const ElementInRange& use : row.elements) {
      cells.push_back(use.torque > 0 ? fmt::format("{:.3f}", use.torque) : "·");
    }
    grid.Add(std::move(cells));
  }
  grid.Print(page);
}

// One paragraph an element.
void Failures(const UnitTable& table, const std::vector<FailureRow>& rows, Page& page) {
  for (const auto& element : table.elements) {
    const std::string text = FailureText(rows, element.element);
    page.Paragraph(fmt::format("  {:<4}", element.element), text.empty() ? "no change in any range" : text);
  }
}

}  // namespace

std::string_view UseMark(ElementUse use) {
  switch (use) {
    case ElementUse::kOpen:
      return "·";
    case ElementUse::kApplied:
      return "on";
    case ElementUse::kHolds:
      return "holds";
    case ElementUse::kCoast:
      return "coast";
  }
  return "";
}

// Equal outcomes gathered.
std::string FailureText(const std::vector<FailureRow>& rows, const std::string& element) {
  std::vector<std::pair<std::string, std::string>> outcomes;  // what -> ranges
  for (const FailureRow& row : rows) {
    if (row.element != element || row.what == "no change") continue;
    const auto known =
        std::find_if(outcomes.begin(), outcomes.end(), [&](const auto& o) { return o.first == row.what; });
    if (known == outcomes.end()) {
      outcomes.emplace_back(row.what, row.range);
    } else {
      known->second += ", " + row.range;
    }
  }
  std::string text;
  for (const auto& [what, ranges] : outcomes)
    text += fmt::format("{}{} in {}", text.empty() ? "" : "; ", what, ranges);
  return text;
}

const char* const kChartLegend =
    "on: applied and driving; holds: a one-way clutch that holds by itself; coast: applied only for engine "
    "braking. Ratio: input speed over output speed; step: this ratio over the next one's.";

std::string UnitText(const UnitTable& table, const TextStyle& style) {
  Page page(style);
  page.Heading(table.says);
  page.Aside("", table.unit);
  page.Blank();
  page.Heading("Gearsets");
  for (const std::string& set : table.gearsets) page.Paragraph("  ", set);
  page.Blank();
  page.Heading("Elements");
  for (const auto& element : table.elements) {
    page.Paragraph(fmt::format("  {:<4}", element.element),
                   fmt::format("{}: {}", element.says, element.between));
  }
  page.Blank();
  page.Heading("Ratios and apply chart");
  ApplyChart(table, page);
  page.Paragraph("  ", kChartLegend);
  std::string freewheeling, shared;
  for (const RangeRow& row : table.ranges) {
    if (!row.engine_braking) freewheeling += (freewheeling.empty() ? "" : ", ") + row.range;
    if (row.torque_shared) shared += (shared.empty() ? "" : ", ") + row.range;
  }
  if (!freewheeling.empty()) page.Paragraph("  ", fmt::format("No engine braking in {}.", freewheeling));
  page.Blank();
  page.Heading("Torque in each element, for one unit of input torque");
  Torques(table, page);
  if (!shared.empty()) {
    page.Paragraph(
        "  ",
        fmt::format("In {} redundant elements share the torque; the split shown is the evenest.", shared));
  }
  page.Blank();
  page.Heading("If an element does not hold");
  Failures(table, table.fails_to_hold, page);
  page.Blank();
  page.Heading("If an element does not release");
  Failures(table, table.fails_to_release, page);
  if (!table.variants.empty()) {
    page.Blank();
    page.Heading("Variants");
    for (const std::string& variant : table.variants) page.Paragraph("  ", variant);
  }
  return page.text();
}

}  // namespace gearwhy
