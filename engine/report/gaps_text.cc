// Gaps as text: what nobody explains by kind, then what is explained.
#include <fmt/format.h>

#include "engine/report/text.h"

namespace gearwhy {
namespace {

std::string Plural(int count, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

}  // namespace

std::string GapsText(const GapReport& report, const TextStyle& style) {
  Page page(style);
  const auto each = [&](bool explained, const auto& show) {
    const GapKind* last = nullptr;
    int count = 0;
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
  const int open = each(false, [&](const Gap& gap) { page.Pair("  ", gap.id, gap.source); });
  const int explained = each(true, [&](const Gap& gap) {
    page.Pair("  ", gap.id, gap.source);
    page.Aside("    ", gap.because);
  });
  const std::string cases = report.cases == 0 ? "no cases: rules and decisions were not looked at"
                                              : Plural(report.cases, "case", "cases");
  page.Paragraph("",
                 fmt::format("{} unexplained, {} explained; {}, {}.", Plural(open, "gap", "gaps"), explained,
                             Plural(report.transmissions, "transmission", "transmissions"), cases));
  return page.text();
}

}  // namespace gearwhy
