// The list of parts for a spreadsheet or an order: comma-separated values as RFC 4180 has them.
#include <fmt/format.h>

#include <string>

#include "engine/render/text.h"

namespace gearwhy {
namespace {

// In quotes where it has to be; quotes in it are doubled. What a spreadsheet would take for a formula is not
// left at the beginning of a field.
std::string Field(std::string text) {
  if (!text.empty() && std::string_view("=+-@").find(text.front()) != std::string_view::npos)
    text.insert(0, " ");
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? "\"\"" : std::string(1, c);
  return quoted + "\"";
}

// The last four fields: chances in 100.
std::string WhetherWorthIt(const RenewalReport& renewals, const PartDecision& part) {
  for (const PartRenewal& one : renewals.parts) {
    if (one.part != part.part || one.only_in != part.only_in) continue;
    return fmt::format("{:.4g},{:.4g},{:.4g},{}", one.p_as_is * 100, one.p_renewed * 100,
                       one.weighed.p_even * 100, one.weighed.worth ? "yes" : "no");
  }
  return ",,,";
}

}  // namespace

std::string PartsCsv(const BenchReport& report, const Speaker& speaker) {
  std::string text =
      "part,says,count,verdict,because,only_in,again_as_is,again_renewed,again_even,worth_renewing\r\n";
  for (const PartDecision& part : report.parts) {
    std::string variants;
    for (const std::string& variant : part.only_in) variants += (variants.empty() ? "" : " ") + variant;
    text +=
        fmt::format("{},{},{},{},{},{},{}\r\n", Field(part.part), Field(speaker.SayName(part.part, "part")),
                    part.count ? std::to_string(*part.count) : "", VerdictName(part.verdict),
                    Field(speaker.Say(part.because)), Field(variants), WhetherWorthIt(report.renewals, part));
  }
  return text;
}

}  // namespace gearwhy
