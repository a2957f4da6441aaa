// What is worth renewing while it lies open, as the bench's page tells it.
#include <fmt/format.h>

#include <algorithm>
#include <utility>
#include <vector>

#include "engine/render/text.h"

namespace gearwhy {
namespace {

constexpr std::size_t kFewRenewals = 6;

// "1.3 in 100": the chances here are small, and compared with each other.
std::string ShowAgain(double chance) { return fmt::format("{:.2g} in 100", chance * 100); }

std::string ShowCost(double cost, bool priced) {
  return priced ? fmt::format("{:.0f}", cost) : ShowMinutes(cost);
}

// What all parts of one line have in common, behind their names: "6 in 100 as it is after long use, 0.2 in
// 100 renewed; 10 min now, or 7 h 20 min when it comes back; worth it from 3 in 100 on."
std::string SayNumbers(const PartRenewal& one, const Speaker& speaker) {
  std::string text = fmt::format(
      "{} as it is{}, {} renewed; {} now, or {} when it comes back; {}. {}", ShowAgain(one.p_as_is),
      one.age == PartAge::kLongUsed ? " after long use"
      : one.age == PartAge::kAsNew  ? ", nearly new"
                                    : "",
      ShowAgain(one.p_renewed), ShowCost(one.costs.renew, one.priced),
      ShowCost(one.costs.come_back + one.costs.renew, one.priced),
      one.weighed.p_even >= 1 ? "never worth it"
                              : fmt::format("worth it from {} on", ShowAgain(one.weighed.p_even)),
      one.again->because);
  if (!one.only_in.empty()) text += " " + OnlyInText(one.only_in, speaker);
  return text;
}

void SayGroup(const RenewalReport& report, bool worth, const char* heading, const Speaker& speaker,
              Page& page) {
  std::vector<std::pair<std::string, std::string>> lines;  // what is said, and of which parts
  for (const PartRenewal& one : report.parts) {
    if (one.weighed.worth != worth) continue;
    const std::string says = SayNumbers(one, speaker);
    const std::string name = speaker.SayName(one.part, "part");
    bool is_new = true;
    for (auto& [said, names] : lines) {
      if (said != says) continue;
      names += ", " + name;
      is_new = false;
    }
    if (is_new) lines.emplace_back(says, name);
  }
  if (lines.empty()) return;
  page.Heading(heading);
  for (const auto& [says, names] : lines)
    page.Paragraph("   ", fmt::format("{}: {}", Capitalised(names), says));
  page.Blank();
}

void SayTogether(const RenewalReport& report, Page& page) {
  page.Paragraph(
      "   ", fmt::format("Of the {} parts that lie open and may be used again, any brings the unit "
                         "out again with {}; with those renewed that are worth it, with {}.",
                         report.parts.size(), ShowChance(report.p_used), ShowChance(report.p_as_advised)));
}

// What the numbers count, and whose they are.
void SayBasis(const RenewalReport& report, Page& page) {
  std::string basis;
  if (!report.prices_stated)
    basis = "Minutes alone count: the rulebook states no prices. ";
  else if (std::any_of(report.parts.begin(), report.parts.end(),
                       [](const PartRenewal& p) { return !p.priced; }))
    basis =
        "Of parts without a price minutes alone count; the rest is in the money of the rulebook's prices. ";
  else
    basis = "In the money of the rulebook's prices. ";
  page.Aside("   ",
             basis +
                 "Chances are how many of a hundred units come out again in their warranty for "
                 "that part, found sound and used again, or renewed; what is found harmed goes by that.");
}

}  // namespace

void SayRenewals(const RenewalReport& report, bool all, const Speaker& speaker, Page& page) {
  if (!report.known || (report.parts.empty() && !all)) return;
  if (report.parts.empty()) {
    page.Heading("Worth renewing while it is open");
    page.Paragraph(
        "   ",
        "Nothing lies open that may be used again; `open:` of the case says how far it is taken apart.");
    page.Blank();
    return;
  }
  if (all) {
    SayGroup(report, true, "Worth renewing while it is open", speaker, page);
    SayGroup(report, false, "Not worth renewing", speaker, page);
    SayTogether(report, page);
    SayBasis(report, page);
    page.Blank();
    return;
  }
  std::string names;
  std::size_t worth = 0;
  for (const PartRenewal& one : report.parts) {
    if (!one.weighed.worth) continue;
    ++worth;
    if (worth > kFewRenewals) continue;
    names += (names.empty() ? "" : ", ") + speaker.SayName(one.part, "part");
  }
  if (worth == 0) return;
  page.Heading("Worth renewing while it is open");
  if (worth > kFewRenewals) names += fmt::format(" and {} more", worth - kFewRenewals);
  page.Paragraph("   ", Capitalised(names) + ". With --renew the numbers.");
  SayTogether(report, page);
  page.Blank();
}

}  // namespace gearwhy
