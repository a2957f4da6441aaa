#include "engine/render/print_fit.h"

#include <algorithm>
#include <charconv>
#include <string>

namespace gearwhy {
namespace {

// Pixels at 96 to the inch, in the width that Letter leaves.
constexpr double kAtLeast = 414, kOfCharacter = 0.088, kOfWidePicture = 0.854, kOfNarrowPicture = 0.193,
                 kOfRow = 22.8, kOfHeading = 20.2;
constexpr double kNarrow = 400;  // a picture up to this wide stands beside others
// Up to these heights a page fits as it is, set close, closer and closest (sheet_style.cc).
constexpr double kFits = 1680, kFitsClose = 1800, kFitsCloser = 2160;

double NumberIn(std::string_view tag, std::string_view attribute) {
  const std::size_t at = tag.find(attribute);
  if (at == std::string_view::npos) return 0;
  const char* begin = tag.data() + at + attribute.size();
  double number = 0;
  std::from_chars(begin, tag.data() + tag.size(), number);
  return number;
}

double HeightOf(std::string_view body) {
  double height = kAtLeast;
  bool in_picture = false;
  for (std::size_t at = 0; at < body.size();) {
    if (body[at] != '<') {
      const std::size_t end = std::min(body.find('<', at), body.size());
      if (!in_picture) height += kOfCharacter * static_cast<double>(end - at);
      at = end;
      continue;
    }
    const std::size_t end = std::min(body.find('>', at), body.size());
    const std::string_view tag = body.substr(at, end - at);
    if (tag.starts_with("<svg")) {
      in_picture = true;
      height += NumberIn(tag, " height=\"") *
                (NumberIn(tag, " width=\"") > kNarrow ? kOfWidePicture : kOfNarrowPicture);
    } else if (tag == "</svg") {
      in_picture = false;
    } else if (tag == "<tr") {
      height += kOfRow;
    } else if (tag.starts_with("<h2") || tag.starts_with("<h3")) {
      height += kOfHeading;
    }
    at = end + 1;
  }
  return height;
}

}  // namespace

std::string_view PrintFit(std::string_view body) {
  const double height = HeightOf(body);
  return height <= kFits ? "" : height <= kFitsClose ? "close" : height <= kFitsCloser ? "closer" : "closest";
}

}  // namespace gearwhy
