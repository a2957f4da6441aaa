#include "engine/render/page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

constexpr std::string_view kBold = "\x1b[1m";
constexpr std::string_view kDim = "\x1b[2m";
constexpr std::string_view kPlain = "\x1b[0m";

// As few digits as tell the size: 1.4, 14, 140, 1400.
std::string TwoDigits(double number) {
  if (number >= 10) {
    const double scale = std::pow(10, std::floor(std::log10(number)) - 1);
    return fmt::format("{:.0f}", std::round(number / scale) * scale);
  }
  std::string text = fmt::format("{:.1f}", number);
  if (text.ends_with(".0")) text.resize(text.size() - 2);
  return text;
}

}  // namespace

// Made harmless, and what it will be on the page before its lines are broken.
std::string Page::Shown(std::string_view text) const {
  return style_.ascii ? InAscii(SafeText(text)) : SafeText(text);
}

void Page::Wrapped(std::string_view lead, std::string_view text, std::string_view on, std::string_view off) {
  const int lead_width = DisplayWidth(lead);
  const std::string indent(static_cast<std::size_t>(lead_width), ' ');
  bool first = true;
  for (const std::string& line : WrapText(Shown(text), std::max(20, style_.width - lead_width))) {
    text_ += first ? std::string(lead) : indent;
    if (style_.colour) text_ += on;
    text_ += line;
    if (style_.colour) text_ += off;
    text_ += '\n';
    first = false;
  }
}

void Page::Heading(std::string_view text) { Wrapped("", text, kBold, kPlain); }
void Page::Paragraph(std::string_view lead, std::string_view text) { Wrapped(lead, text, "", ""); }
void Page::Aside(std::string_view lead, std::string_view text) { Wrapped(lead, text, kDim, kPlain); }

void Page::Line(std::string_view lead, std::string_view text) {
  text_ += lead;
  text_ += SafeLine(text);
  text_ += '\n';
}

void Page::Pair(std::string_view lead, std::string_view left, std::string_view right) {
  const int lead_width = DisplayWidth(lead);
  const int right_width = DisplayWidth(right);
  const int left_width = std::max(20, style_.width - lead_width - right_width - 2);
  const std::string indent(static_cast<std::size_t>(lead_width), ' ');
  const std::vector<std::string> lines = WrapText(Shown(left), left_width);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    text_ += i == 0 ? std::string(lead) : indent;
    text_ += lines[i];
    if (i + 1 == lines.size()) {
      const int gap = left_width - DisplayWidth(lines[i]) + 2;
      text_ += std::string(static_cast<std::size_t>(std::max(1, gap)), ' ');
      text_ += right;
    }
    text_ += '\n';
  }
}

int LinesOf(std::string_view text) { return static_cast<int>(std::count(text.begin(), text.end(), '\n')); }

std::string Bar(double share, int width) {
  static const char* const kEighths[] = {"", "▏", "▎", "▍", "▌", "▋", "▊", "▉"};
  int eighths = static_cast<int>(std::lround(std::clamp(share, 0.0, 1.0) * width * 8));
  if (eighths == 0 && share > 0) eighths = 1;
  std::string bar;
  for (int i = 0; i < eighths / 8; ++i) bar += "█";
  bar += kEighths[eighths % 8];
  const int used = eighths / 8 + (eighths % 8 > 0 ? 1 : 0);
  bar += std::string(static_cast<std::size_t>(std::max(0, width - used)), ' ');
  return bar;
}

std::string ShowChance(double chance) {
  if (std::isnan(chance)) return "not worked out";
  if (chance >= 0.9995) return "more than 999 in 1000";
  if (chance >= 0.995) return fmt::format("{:.0f} in 1000", chance * 1000);
  // What would be rounded to 10 of a thousand is 1 of a hundred.
  for (const int of : {100, 1000, 10000}) {
    if (chance * of >= 0.95) return fmt::format("{:.0f} in {}", chance * of, of);
  }
  return "less than 1 in 10000";
}

std::string ShowOddsFactor(double factor) {
  if (factor <= 0) return "rules it out";
  if (!std::isfinite(factor)) return "settles it";
  if (factor >= 1) return fmt::format("odds × {}", TwoDigits(std::min(factor, 1e6)));
  return fmt::format("odds ÷ {}", TwoDigits(std::min(1 / factor, 1e6)));
}

std::string ShowMinutes(double minutes) {
  const long whole = std::lround(minutes);
  if (whole < 60) return fmt::format("{} min", whole);
  if (whole % 60 == 0) return fmt::format("{} h", whole / 60);
  return fmt::format("{} h {} min", whole / 60, whole % 60);
}

}  // namespace gearwhy
