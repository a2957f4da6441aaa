#include "engine/render/svg.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "engine/render/html.h"
#include "engine/text/safe_text.h"
#include "engine/text/utf8.h"

namespace gearwhy {
namespace {

// Advance widths of U+0020 to U+007E in thousandths of the font size.
constexpr std::array<int, 95> kWidths = {
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361,  318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
    575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635,  611, 732, 684, 989, 685,
    611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352,  635, 634, 278, 278, 579,
    278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592,  525, 636, 337, 636, 838};
// Of other characters, by the columns that they take on a terminal; capitals of other scripts are wide.
constexpr double kWidthOfColumn = 0.84;
constexpr double kLineHeight = 1.25;
constexpr double kBolder = 1.13;  // bold text, of the same letters

double WidthOf(std::string_view character) {
  const auto first = static_cast<unsigned char>(character.front());
  if (character.size() == 1 && first >= 0x20 && first < 0x7F) return kWidths[first - 0x20] / 1000.0;
  return kWidthOfColumn * DisplayWidth(character);
}

std::string ClassOf(std::string_view css_class) {
  return css_class.empty() ? "" : fmt::format(" class=\"{}\"", css_class);
}

// The longest head that fits, but at least one character.
std::string_view HeadWithin(std::string_view text, double width, double font_size) {
  double used = 0;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t bytes = DecodeUtf8(text, at).bytes;
    used += WidthOf(text.substr(at, bytes)) * font_size;
    if (at > 0 && used > width) break;
    at += bytes;
  }
  return text.substr(0, at);
}

}  // namespace

double TextWidth(std::string_view text, double font_size, bool bold) {
  double width = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t bytes = DecodeUtf8(text, at).bytes;
    width += WidthOf(text.substr(at, bytes));
    at += bytes;
  }
  return width * font_size * (bold ? kBolder : 1);
}

std::vector<std::string> WrapToWidth(std::string_view text, double width, double font_size, bool bold) {
  if (bold) width /= kBolder;
  const std::string safe = SafeLine(text);
  std::vector<std::string> lines;
  std::string line;
  for (std::size_t at = 0; at < safe.size();) {
    const std::size_t end = std::min(safe.find(' ', at), safe.size());
    std::string_view word = std::string_view(safe).substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    if (!line.empty() && TextWidth(line + " " + std::string(word), font_size) <= width) {
      line += " " + std::string(word);
      continue;
    }
    if (!line.empty()) lines.push_back(std::move(line));
    while (TextWidth(word, font_size) > width) {
      const std::string_view head = HeadWithin(word, width, font_size);
      if (head.size() == word.size()) break;
      lines.emplace_back(head);
      word.remove_prefix(head.size());
    }
    line = word;
  }
  lines.push_back(std::move(line));
  return lines;
}

double LineHeight(double font_size) { return kLineHeight * font_size; }

std::string Coordinate(double value) {
  const double tenth = std::round(value * 10) / 10;
  return fmt::format("{:g}", tenth == 0 ? 0.0 : tenth);
}

Svg::Svg(std::string_view id, std::string_view title, std::string_view description) : id_(id) {
  head_ = fmt::format("<title id=\"{}-t\">{}</title>\n<desc id=\"{}-d\">{}</desc>\n", id,
                      EscapeHtml(SafeLine(title)), id, EscapeHtml(SafeLine(description)));
}

void Svg::Rect(double x, double y, double width, double height, std::string_view css_class, double round) {
  body_ += fmt::format("<rect{} x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{}/>\n", ClassOf(css_class),
                       Coordinate(x), Coordinate(y), Coordinate(width), Coordinate(height),
                       round > 0 ? fmt::format(" rx=\"{}\"", Coordinate(round)) : "");
}

void Svg::Line(double x1, double y1, double x2, double y2, std::string_view css_class) {
  body_ += fmt::format("<line{} x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"/>\n", ClassOf(css_class),
                       Coordinate(x1), Coordinate(y1), Coordinate(x2), Coordinate(y2));
}

void Svg::Path(std::string_view d, std::string_view css_class, double stroke) {
  body_ += fmt::format("<path{} d=\"{}\"{}/>\n", ClassOf(css_class), d,
                       stroke > 0 ? fmt::format(" stroke-width=\"{}\"", Coordinate(stroke)) : "");
}

void Svg::Circle(double x, double y, double radius, std::string_view css_class) {
  body_ += fmt::format("<circle{} cx=\"{}\" cy=\"{}\" r=\"{}\"/>\n", ClassOf(css_class), Coordinate(x),
                       Coordinate(y), Coordinate(radius));
}

void Svg::Text(double x, double y, std::string_view text, double font_size, Anchor anchor,
               std::string_view css_class) {
  const char* anchored = anchor == Anchor::kMiddle ? " text-anchor=\"middle\""
                         : anchor == Anchor::kEnd  ? " text-anchor=\"end\""
                                                   : "";
  body_ +=
      fmt::format("<text{} x=\"{}\" y=\"{}\" font-size=\"{}\"{}>{}</text>\n", ClassOf(css_class),
                  Coordinate(x), Coordinate(y), Coordinate(font_size), anchored, EscapeHtml(SafeLine(text)));
}

void Svg::Lines(double x, double y, const std::vector<std::string>& lines, double font_size, Anchor anchor,
                std::string_view css_class) {
  for (const std::string& line : lines) {
    Text(x, y, line, font_size, anchor, css_class);
    y += LineHeight(font_size);
  }
}

std::string Svg::Finish(double width, double height, std::string_view css_class) const {
  return fmt::format(
      "<svg{} xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" width=\"{}\" height=\"{}\" "
      "role=\"img\" "
      "aria-labelledby=\"{}-t {}-d\">\n{}{}</svg>\n",
      ClassOf(css_class), Coordinate(width), Coordinate(height), Coordinate(width), Coordinate(height), id_,
      id_, head_, body_);
}

std::vector<double> Apart(const std::vector<double>& wanted, double gap, double least, double most) {
  std::vector<std::size_t> order(wanted.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return wanted[a] < wanted[b]; });
  std::vector<double> got(wanted.size());
  double lowest = least;
  for (const std::size_t i : order) {
    got[i] = std::max(wanted[i], lowest);
    lowest = got[i] + gap;
  }
  double highest = std::max(most, least + gap * static_cast<double>(wanted.size()) - gap);
  for (auto i = order.rbegin(); i != order.rend(); ++i) {
    got[*i] = std::min(got[*i], highest);
    highest = got[*i] - gap;
  }
  return got;
}

}  // namespace gearwhy
