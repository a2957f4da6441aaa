// What the elements carry, as the bench's page tells it.
#include <fmt/format.h>

#include <cmath>

#include "engine/render/pieces.h"

namespace gearwhy {
namespace {

// What some faults leave of the least margin. A weak spring presses back less, so that the pack carries more:
// it is the release that suffers, and no margin is told of it.
std::string SayWhatIf(const ElementCapacity& capacity, const Speaker& speaker) {
  std::string faults;
  const auto add = [&](const char* what, const std::optional<double>& margin) {
    if (!margin) return;
    faults += fmt::format("{}{}{} {}", faults.empty() ? "" : ", ", what, faults.empty() ? " leaves" : "",
                          ShowMargin(*margin));
  };
  add("one lined plate fewer", capacity.one_plate_fewer);
  add("lining gone from the outer half of its width", capacity.half_width);
  add("a bar less", capacity.one_bar_less);
  if (faults.empty()) return "";
  return fmt::format(" In {} {}.", speaker.SayName(capacity.ranges.front().range, "range"), faults);
}

void One(const ElementCapacity& capacity, bool all, const Speaker& speaker, Page& page) {
  std::string line = Capitalised(speaker.SayName(capacity.element, "element"));
  if (!capacity.only_in.empty()) line += fmt::format(", if {}", SayVariants(capacity.only_in, "or", speaker));
  line += ":";
  for (const CapacityInRange& in : capacity.ranges) {
    if (!all && in.margin() >= 1) break;
    line += fmt::format("{} {}", &in == &capacity.ranges.front() ? "" : ";", CapacityText(in, speaker));
  }
  line += ".";
  if (all) line += SayWhatIf(capacity, speaker);
  page.Paragraph("   ", line);
}

}  // namespace

// Below ten two digits are all that dimensions from a table are worth.
std::string ShowMargin(double margin) {
  return margin < 10 ? fmt::format("{:.2f} times", margin) : "more than 10 times";
}

std::string CapacityText(const CapacityInRange& in, const Speaker& speaker) {
  std::string text = fmt::format("{} needs {:.0f} N m and has {:.0f} N m", speaker.SayName(in.range, "range"),
                                 in.needs_nm, in.carries_nm);
  if (in.pressure_bar)
    text += fmt::format(" at {}{}", ShowQuantity(*in.pressure_bar, Dimension::kPressure),
                        in.was_read ? ", as it was read" : "");
  if (in.spin_n > 0)
    text += fmt::format(" and {} of spinning fluid", ShowQuantity(std::round(in.spin_n), Dimension::kForce));
  return text + fmt::format(": {}", ShowMargin(in.margin()));
}

void SayCapacities(const std::vector<ElementCapacity>& capacities, bool all, const Speaker& speaker,
                   Page& page) {
  bool any = false;
  for (const ElementCapacity& capacity : capacities) {
    if (!all && capacity.ranges.front().margin() >= 1) continue;
    if (!any) page.Heading(all ? "Torque that each element carries" : "Carries too little torque");
    any = true;
    One(capacity, all, speaker, page);
  }
  if (!any && all) page.Paragraph("", "The unit gives no dimensions of its elements.");
  if (any && all)
    page.Aside(
        "   ",
        "By the unit's dimensions, with the lining run in, at the engine's most torque; in ranges engaged "
        "at rest times what the converter makes of it. Real linings and pistons differ by a tenth and more.");
  if (any || all) page.Blank();
}

}  // namespace gearwhy
