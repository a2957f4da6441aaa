// The list of parts for a spreadsheet or an order: comma-separated values as RFC 4180 has them.
#include <fmt/format.h>

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

}  // namespace

std::string PartsCsv(const std::vector<PartDecision>& parts, const Speaker& speaker) {
  std::string text = "part,says,count,verdict,because,only_in\r\n";
  for (const PartDecision& part : parts) {
    std::string variants;
    for (const std::string& variant : part.only_in) variants += (variants.empty() ? "" : " ") + variant;
    text += fmt::format("{},{},{},{},{},{}\r\n", Field(part.part), Field(speaker.SayName(part.part, "part")),
                        part.count ? std::to_string(*part.count) : "", VerdictName(part.verdict),
                        Field(speaker.Say(part.because)), Field(variants));
  }
  return text;
}

}  // namespace gearwhy
