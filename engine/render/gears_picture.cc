// A unit's gears as pictures: its levers with a line a range, and its apply chart.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/render/html.h"
#include "engine/render/pictures.h"
#include "engine/render/pieces.h"
#include "engine/render/svg.h"

namespace gearwhy {
namespace {

constexpr double kWidth = 720, kBetween = 18, kPlot = 112, kTop = 21;
constexpr double kScale = 26;  // the room for it
constexpr double kFont = 10.5, kSmall = 9.5;
constexpr double kMostOfPanel = 0.3;  // of its width for the names of ranges
constexpr double kApart = 5;          // heights that can be told apart
constexpr double kSameSpeed = 1e-9;
constexpr std::size_t kMostFailures = 3;

// One line to draw, with all ranges that have it.
struct NamedLine {
  LeverLine line;
  std::string name;
  bool fails = false;
};

bool Same(const LeverLine& a, const LeverLine& b) {
  return std::abs(a.at_start - b.at_start) < kSameSpeed && std::abs(a.at_end - b.at_end) < kSameSpeed;
}

void AddLine(const std::optional<LeverLine>& line, const std::string& range, bool fails,
             std::vector<NamedLine>& lines) {
  if (!line) return;
  for (NamedLine& other : lines) {
    if (other.fails != fails || !Same(other.line, *line)) continue;
    other.name += ", " + range;
    return;
  }
  lines.push_back({*line, range, fails});
}

std::vector<NamedLine> LinesFor(const GearsReport& gears, std::size_t lever) {
  std::vector<NamedLine> lines;
  for (const RangeLines& range : gears.levers.ranges) AddLine(range.lines[lever], range.range, false, lines);
  std::size_t failures = 0;
  for (const FailureLines& failure : gears.levers.failures) {
    if (failure.element != gears.element || !failure.holds_nothing || !failure.lines[lever]) continue;
    if (failures++ == kMostFailures) break;
    AddLine(failure.lines[lever], failure.range, true, lines);
  }
  for (NamedLine& line : lines) {
    if (line.fails) line.name += " without " + gears.element;
  }
  return lines;
}

// "front sun + rear sun, held by A".
std::string NameOf(const LeverNode& node) {
  std::string text;
  for (const MemberName& member : node.members) text += (text.empty() ? "" : " + ") + member;
  std::replace(text.begin(), text.end(), '.', ' ');
  std::replace(text.begin(), text.end(), '_', ' ');
  if (node.input) text += ": input";
  if (node.output) text += ": output";
  if (node.held) text += ": held by the case";
  return text;
}

class LeverPanel {
 public:
  LeverPanel(const GearsReport& gears, std::size_t number, double x, double width)
      : gears_(gears),
        lever_(gears.levers.levers[number]),
        lines_(LinesFor(gears, number)),
        x_(x),
        width_(width) {
    for (const NamedLine& line : lines_) {
      least_ = std::min({least_, line.line.at_start, line.line.at_end});
      most_ = std::max({most_, line.line.at_start, line.line.at_end});
      for_names_ = std::max(for_names_, TextWidth(line.name, kSmall, line.fails) + 16);
    }
    for_names_ = std::min(for_names_, kMostOfPanel * width);
    for (const NamedLine& line : lines_)
      gap_ = std::max(gap_, LineHeight(kSmall) * static_cast<double>(Broken(line).size()));
    plot_ = std::max(kPlot, gap_ * static_cast<double>(lines_.size()));
    names_left_ = Distinct(&LeverLine::at_start) > Distinct(&LeverLine::at_end);
  }

  double Draw(Svg& svg) const {
    std::string sets;
    for (const std::string& set : lever_.gearsets) sets += (sets.empty() ? "" : " and ") + set;
    svg.Text(
        x_, 11,
        WrapToWidth(fmt::format("{} gearset{}", Capitalised(sets), lever_.gearsets.size() > 1 ? "s" : ""),
                    width_, kFont)[0],
        kFont, Anchor::kStart, "strong");
    for (const double tick : {0.0, 1.0}) {
      svg.Line(Start(), Y(tick), End(), Y(tick), tick == 0 ? "axis" : "grid");
      svg.Text(names_left_ ? End() + 6 : Start() - 6, Y(tick) + 3, fmt::format("{:.0f}", tick), kSmall,
               names_left_ ? Anchor::kStart : Anchor::kEnd, "soft");
    }
    const double bottom = Shafts(svg);
    for (const NamedLine& line : lines_) {
      svg.Line(Start(), Y(line.line.at_start), End(), Y(line.line.at_end), line.fails ? "fails" : "range");
      for (const LeverNode& node : lever_.nodes)
        svg.Circle(X(node.place), Y(line.line.SpeedAt(node.place)), node.output ? 3.2 : 1.8, "solid");
    }
    return std::max(bottom, Names(svg));
  }

 private:
  double Start() const { return x_ + (names_left_ ? for_names_ : kScale); }
  double End() const { return x_ + width_ - (names_left_ ? kScale : for_names_); }
  double X(double place) const { return Start() + place * (End() - Start()); }
  double Y(double speed) const { return kTop + (most_ - speed) / (most_ - least_) * plot_; }

  std::vector<std::string> Broken(const NamedLine& line) const {
    return WrapToWidth(line.name, for_names_ - 14, kSmall, line.fails);
  }

  // At how many heights the lines end there that can be told apart: the names stand where these are more.
  std::size_t Distinct(double LeverLine::*end) const {
    std::vector<double> heights;
    for (const NamedLine& line : lines_) {
      const double y = Y(line.line.*end);
      if (std::none_of(heights.begin(), heights.end(),
                       [&](double other) { return std::abs(other - y) < kApart; }))
        heights.push_back(y);
    }
    return heights.size();
  }

  bool Fails(const LeverNode& node) const {
    return std::find(node.elements.begin(), node.elements.end(), gears_.element) != node.elements.end();
  }

  // Under the shafts their names, side by side in equal parts of the width. Returns where they end.
  double Shafts(Svg& svg) const {
    const double part = width_ / static_cast<double>(lever_.nodes.size());
    const double foot = kTop + plot_ + 4, top = foot + 14;
    double bottom = top;
    for (std::size_t i = 0; i < lever_.nodes.size(); ++i) {
      const LeverNode& node = lever_.nodes[i];
      const double middle = x_ + part * (static_cast<double>(i) + 0.5);
      std::vector<std::string> lines = WrapToWidth(NameOf(node), part - 6, kSmall, Fails(node));
      std::string by;
      for (const std::string& element : node.elements) by += (by.empty() ? "" : ", ") + element;
      if (!by.empty())
        for (std::string& line : WrapToWidth((Fails(node) ? "► " : "") + by, part - 6, kSmall, Fails(node)))
          lines.push_back(std::move(line));
      svg.Line(X(node.place), kTop - 4, X(node.place), foot, Fails(node) ? "shaft failing" : "shaft");
      svg.Line(X(node.place), foot, middle, top, "lead");
      svg.Lines(middle, top + kSmall, lines, kSmall, Anchor::kMiddle, Fails(node) ? "strong" : "");
      bottom = std::max(bottom, top + LineHeight(kSmall) * static_cast<double>(lines.size()) + 4);
    }
    return bottom;
  }

  double Names(Svg& svg) const {
    std::vector<double> wanted;
    for (const NamedLine& line : lines_)
      wanted.push_back(Y(names_left_ ? line.line.at_start : line.line.at_end));
    const std::vector<double> got = Apart(wanted, gap_, kTop, kTop + plot_ - gap_ + LineHeight(kSmall));
    double bottom = 0;
    for (std::size_t i = 0; i < lines_.size(); ++i) {
      const double from = names_left_ ? Start() - 1 : End() + 1, out = names_left_ ? -1 : 1;
      svg.Line(from, wanted[i], from + 9 * out, got[i], "lead");
      svg.Lines(from + 12 * out, got[i] + 3, Broken(lines_[i]), kSmall,
                names_left_ ? Anchor::kEnd : Anchor::kStart, lines_[i].fails ? "strong" : "");
      bottom = std::max(bottom, got[i] + gap_);
    }
    return bottom;
  }

  const GearsReport& gears_;
  const Lever& lever_;
  std::vector<NamedLine> lines_;
  double x_ = 0, width_ = 0, for_names_ = 20, least_ = 0, most_ = 1;
  double gap_ = LineHeight(kSmall);  // between names
  double plot_ = kPlot;              // the height for the lines
  bool names_left_ = false;
};

std::string DescribeLevers(const GearsReport& gears) {
  std::string text;
  for (const RangeRow& row : gears.table.ranges) {
    if (row.neutral) continue;
    text += fmt::format("{}{}: the output turns at {:.3f} of the input.", text.empty() ? "" : " ",
                        Capitalised(row.says), 1 / row.ratio);
  }
  return text;
}

const ElementMark* MarkOf(const GearsReport& gears, const std::string& element) {
  for (const ElementMark& mark : gears.marks) {
    if (mark.element == element) return &mark;
  }
  return nullptr;
}

std::string ClassOf(const GearsReport& gears, const std::string& element) {
  const ElementMark* mark = MarkOf(gears, element);
  return mark == nullptr ? "" : mark->suspected ? " class=\"suspected\"" : " class=\"cleared\"";
}

}  // namespace

std::string LeverPicture(const GearsReport& gears, const Speaker& speaker) {
  const auto& levers = gears.levers.levers;
  if (levers.empty()) return "";
  Svg svg("levers", "Speeds of the shafts in each range", DescribeLevers(gears));
  const double count = static_cast<double>(levers.size());
  double nodes = 0;
  for (const Lever& lever : levers) nodes += static_cast<double>(lever.nodes.size());
  double x = 0, bottom = 0;
  for (std::size_t i = 0; i < levers.size(); ++i) {
    const double width =
        (kWidth - kBetween * (count - 1)) * static_cast<double>(levers[i].nodes.size()) / nodes;
    bottom = std::max(bottom, LeverPanel(gears, i, x, width).Draw(svg));
    x += width + kBetween;
  }
  std::string legend =
      "Uprights are shafts, placed by the tooth counts, with the elements that hold or drive them. Lines are "
      "ranges: "
      "where one crosses a shaft is the speed of that shaft, for an input speed of 1. Larger dots: the "
      "output.";
  if (!gears.element.empty())
    legend += fmt::format(" Thick, with an arrow: {}.", speaker.SayName(gears.element, "element"));
  if (std::any_of(gears.levers.failures.begin(), gears.levers.failures.end(),
                  [&](const FailureLines& failure) {
                    return failure.element == gears.element && failure.holds_nothing;
                  }))
    legend += " Dashed: what a range becomes without it.";
  return fmt::format("<figure>\n{}<figcaption>{}</figcaption>\n</figure>\n",
                     Scrolling("Levers", svg.Finish(kWidth, bottom)), EscapeHtml(legend));
}

std::string ApplyChart(const GearsReport& gears, const Speaker& speaker) {
  std::string html = "<table class=\"chart\">\n<caption>" + EscapeHtml(kChartLegend) +
                     "</caption>\n<thead><tr><th scope=\"col\">Range</th><th scope=\"col\">Ratio</th><th "
                     "scope=\"col\">Step</th>";
  for (const auto& element : gears.table.elements) {
    html +=
        fmt::format("<th scope=\"col\"{}>{}", ClassOf(gears, element.element), EscapeHtml(element.element));
    if (const ElementMark* mark = MarkOf(gears, element.element))
      html += fmt::format("<span class=\"says\">{}</span>", mark->suspected ? "suspected" : "cleared");
    html += "</th>";
  }
  html += "</tr></thead>\n<tbody>\n";
  for (const RangeRow& row : gears.table.ranges) {
    html += fmt::format("<tr><th scope=\"row\"><b>{}</b> {}</th><td>{}</td><td>{}</td>",
                        EscapeHtml(row.range), EscapeHtml(speaker.SayName(row.range, "range")),
                        row.neutral ? "·" : fmt::format("{:.3f}", row.ratio),
                        row.step > 0 ? fmt::format("{:.2f}", row.step) : "");
    for (const ElementInRange& use : row.elements)
      html += fmt::format("<td{}>{}</td>", ClassOf(gears, use.element), UseMark(use.use));
    html += "</tr>\n";
  }
  return Scrolling("Apply chart", html + "</tbody>\n</table>\n");
}

std::string FailureOfMarked(const GearsReport& gears, const Speaker& speaker) {
  if (gears.element.empty()) return "";
  const std::string name = speaker.SayName(gears.element, "element");
  const std::string open = FailureText(gears.table.fails_to_hold, gears.element);
  const std::string stuck = FailureText(gears.table.fails_to_release, gears.element);
  std::string text;
  if (!open.empty()) text += fmt::format("If {} does not hold: {}.", name, open);
  if (!stuck.empty()) text += fmt::format("{}If it does not release: {}.", text.empty() ? "" : " ", stuck);
  return text.empty() ? "" : Tagged("p", text);
}

}  // namespace gearwhy
