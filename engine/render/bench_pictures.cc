// Bars and scales: chances, what elements carry, and readings beside their limits.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/model/policy.h"
#include "engine/render/html.h"
#include "engine/render/pictures.h"
#include "engine/render/pieces.h"
#include "engine/render/svg.h"

namespace gearwhy {
namespace {

constexpr double kFont = 10.5, kSmall = 9.5;
constexpr double kChanceWidth = 340;
constexpr double kWidth = 350, kBar = 150, kMostMargin = 3;  // of a bar; what is more is cut
constexpr double kRow = 17;
constexpr double kScale = 340;  // a reading's

// The torques themselves stand in the description.
std::string MarginLabel(const CapacityInRange& in, const Speaker& speaker) {
  return fmt::format("{}: {}", Capitalised(speaker.SayName(in.range, "range")), ShowMargin(in.margin()));
}

// Beside a bar.
double LabelRoom(double names) { return kWidth - names - kBar - 18; }

void OneMargin(const ElementCapacity& capacity, double names, double y, Svg& svg, const Speaker& speaker) {
  const CapacityInRange& in = capacity.ranges.front();
  const double left = names + 8, wide = kBar;
  const auto x = [&](double margin) { return left + wide * std::min(margin, kMostMargin) / kMostMargin; };
  std::string name = capacity.element;
  if (!capacity.only_in.empty()) name += fmt::format(" ({})", SayVariants(capacity.only_in, "or", speaker));
  svg.Text(0, y + 10, WrapToWidth(name, names, kFont)[0], kFont, Anchor::kStart,
           in.margin() < 1 ? "strong" : "");
  svg.Rect(left, y + 2, x(in.margin()) - left, 9, in.margin() < 1 ? "before" : "now");
  svg.Line(x(1), y - 1, x(1), y + 14, "limit");
  const std::vector<std::string> says = WrapToWidth(MarginLabel(in, speaker), LabelRoom(names), kSmall);
  svg.Lines(left + wide + 10, y + 10, says, kSmall, Anchor::kStart, in.margin() < 1 ? "strong" : "");
}

// Where the scale of a reading begins and ends: all that stands on it, with room on both sides.
std::pair<double, double> EndsOf(const JudgedReading& reading, const Measured& measured, double doubt) {
  double least = measured.value - doubt, most = measured.value + doubt;
  for (const AgainstLimit& against : reading.limits) {
    least = std::min(least, against.limit.limit);
    most = std::max(most, against.limit.limit);
  }
  if (reading.fresh) {
    least = std::min(least, *reading.fresh);
    most = std::max(most, *reading.fresh);
  }
  const double room = most > least ? (most - least) * 0.15 : std::max(std::abs(most) * 0.1, 0.1);
  return {least - room, most + room};
}

// A label at a place of the scale, inside of it.
void ScaleLabel(Svg& svg, double at, double y, const std::string& text, std::string_view css_class) {
  const double half = TextWidth(text, kSmall) / 2;
  svg.Text(std::clamp(at, half, std::max(half, kScale - half)), y, text, kSmall, Anchor::kMiddle, css_class);
}

}  // namespace

std::string ChanceBars(double now, double before, std::string_view id) {
  Svg svg(id, fmt::format("{}, {} before looking", ShowChance(now), ShowChance(before)),
          "The chance now as a solid bar, over that before looking as an open one.");
  const auto width = [](double chance) { return std::max(1.0, kChanceWidth * std::clamp(chance, 0.0, 1.0)); };
  svg.Rect(0.5, 0.5, kChanceWidth - 1, 9, "before");
  svg.Rect(0, 0, width(now), 10, "now");
  svg.Rect(0.5, 12, width(before), 4, "before");
  return svg.Finish(kChanceWidth, 17, "bars");
}

std::string MarginsPicture(const std::vector<ElementCapacity>& capacities, const Speaker& speaker) {
  if (capacities.empty()) return "";
  double names = 20;
  std::string description;
  for (const ElementCapacity& capacity : capacities) {
    double wide = TextWidth(capacity.element, kFont);
    if (!capacity.only_in.empty())
      wide = TextWidth(fmt::format("{} ({})", capacity.element, SayVariants(capacity.only_in, "or", speaker)),
                       kFont);
    names = std::max(names, std::min(wide, 150.0));
    description += fmt::format("{}{}: {}.", description.empty() ? "" : " ", capacity.element,
                               CapacityText(capacity.ranges.front(), speaker));
  }
  Svg svg("margins", "Torque that each element carries, of that which falls on it", description);
  double y = 4;
  for (const ElementCapacity& capacity : capacities) {
    OneMargin(capacity, names, y, svg, speaker);
    const std::size_t lines =
        WrapToWidth(MarginLabel(capacity.ranges.front(), speaker), LabelRoom(names), kSmall).size();
    y += std::max(kRow, LineHeight(kSmall) * static_cast<double>(lines) + 4);
  }
  return fmt::format(
      "<figure>\n{}<figcaption>In the range where the element has least to spare. The upright is "
      "what falls "
      "on it: a bar that ends before it carries too little, and is open. Bars end at {} times.</figcaption>\n"
      "</figure>\n",
      svg.Finish(kWidth, y), kMostMargin);
}

std::string ReadingPicture(const BenchReading& one, std::string_view id, const Speaker& speaker) {
  const JudgedReading& reading = one.verdicts.front().reading;
  if (reading.limits.empty()) return "";
  const Measured& measured = reading.Decides().measured;
  const double doubt = kGuardBand * measured.u;
  const auto [least, most] = EndsOf(reading, measured, doubt);
  const auto x = [&, from = least, to = most](double value) { return (value - from) / (to - from) * kScale; };
  Svg svg(id, "The reading beside its limits", ReadingLine(one, speaker));
  double from = 0, to = kScale;
  for (const AgainstLimit& against : reading.limits)
    (against.limit.side == Side::kBelow ? from : to) = x(against.limit.limit);
  constexpr double kAxis = 29;
  if (to > from) svg.Rect(from, kAxis - 8, to - from, 16, "band");
  svg.Line(0, kAxis, kScale, kAxis, "axis");
  double row = 9;
  for (const AgainstLimit& against : reading.limits) {
    const double at = x(against.limit.limit);
    svg.Line(at, kAxis - 9, at, kAxis + 9, "limit");
    const bool below = against.limit.side == Side::kBelow;
    ScaleLabel(
        svg, at, row,
        fmt::format("{} {}", below ? "least" : "most", ShowQuantity(against.limit.limit, one.dimension)), "");
    if (reading.limits.size() > 1) row = 18;
  }
  svg.Line(x(measured.value - doubt), kAxis, x(measured.value + doubt), kAxis, "doubt");
  for (const double end : {measured.value - doubt, measured.value + doubt})
    svg.Line(x(end), kAxis - 5, x(end), kAxis + 5, "doubt");
  svg.Circle(x(measured.value), kAxis, 3.6, "solid");
  ScaleLabel(svg, x(measured.value), kAxis + 19,
             fmt::format("read {}", ShowQuantity(measured.value, one.dimension)), "strong");
  return svg.Finish(kScale, kAxis + 23, "scale");
}

}  // namespace gearwhy
