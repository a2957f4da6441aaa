// Gaps as text: what nobody explains by kind, then what is explained.
#include <fmt/format.h>

#include "engine/render/text.h"
#include "engine/text/number.h"

namespace gearwhy {

std::string GapsText(const GapReport& report, const TextStyle& style) {
  Page page(style);
  const auto each = [&](bool explained, const auto& show) {
    const GapKind* last = nullptr;
    std::size_t count = 0;
    for (const Gap& gap : report.gaps) {
      if (gap.because.empty() == explained) continue;
      if (last == nullptr || *last != gap.kind) {
        if (count > 0) page.Blank();
        page.Heading(fmt::format("{}{}", GapKindSays(gap.kind), explained ? ", explained" : ""));
      }
      last = &gap.kind;
      ++count;
      show(gap);
    }
    if (count > 0) page.Blank();
    return count;
  };
  const std::size_t open = each(false, [&](const Gap& gap) { page.Pair("  ", gap.id, gap.source); });
  const std::size_t explained = each(true, [&](const Gap& gap) {
    page.Pair("  ", gap.id, gap.source);
    page.Aside("    ", gap.because);
  });
  const std::string cases =
      report.cases == 0 ? "no cases: rules and decisions were not looked at" : Counted(report.cases, "case");
  page.Paragraph("", fmt::format("{} unexplained, {} explained; {}, {}.", Counted(open, "gap"), explained,
                                 Counted(report.transmissions, "transmission"), cases));
  return page.text();
}

}  // namespace gearwhy
