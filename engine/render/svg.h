// SVG: pictures as text, drawn piece by piece, and how wide text is in them.
//
// In: shapes in a unit of about a pixel of the screen, texts in any script. Out: one <svg> element that scales to the
// width it is given, with a title and a description for those who do not see it. Colours are the page's, by
// classes. Coordinates are written with a tenth of a unit: the same shapes give the same bytes.
// Text is measured by the widths of a wide common sans-serif face (DejaVu Sans, free; by its own tables), so
// that narrower ones fit as well; bold text is wider by as much as there.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace gearwhy {

// Of text in one line.
double TextWidth(std::string_view text, double font_size, bool bold = false);
// Broken at spaces into lines no wider than `width`; a longer word is cut. Never empty.
std::vector<std::string> WrapToWidth(std::string_view text, double width, double font_size,
                                     bool bold = false);

enum class Anchor { kStart, kMiddle, kEnd };

class Svg {
 public:
  // `id`: ours, once in a page.
  Svg(std::string_view id, std::string_view title, std::string_view description);

  void Rect(double x, double y, double width, double height, std::string_view css_class, double round = 0);
  void Line(double x1, double y1, double x2, double y2, std::string_view css_class);
  // `d`: the path; `stroke`: the width of a line, 0 for that of the class.
  void Path(std::string_view d, std::string_view css_class, double stroke = 0);
  void Circle(double x, double y, double radius, std::string_view css_class);
  void Text(double x, double y, std::string_view text, double font_size, Anchor anchor = Anchor::kStart,
            std::string_view css_class = "");
  // Its lines one under another, the first with its foot at `y`.
  void Lines(double x, double y, const std::vector<std::string>& lines, double font_size,
             Anchor anchor = Anchor::kStart, std::string_view css_class = "");

  std::string Finish(double width, double height, std::string_view css_class = "") const;

 private:
  std::string id_, head_, body_;
};

// How far lines of text are apart.
double LineHeight(double font_size);
// "12.5": a coordinate.
std::string Coordinate(double value);

// Heights for labels beside a scale: as near to `wanted` as they can be without lying on each other, in the
// order of `wanted`; within `least` and `most` where there is room.
std::vector<double> Apart(const std::vector<double>& wanted, double gap, double least, double most);

}  // namespace gearwhy
