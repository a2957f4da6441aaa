// Page: what a report says, piece by piece; here plain text laid out for a terminal of a given width, with
// emphasis only where it is wanted. The same pieces as HTML: html.h.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace gearwhy {

struct TextStyle {
  int width = 80;       // columns
  bool colour = false;  // bold and dim by terminal codes; otherwise nothing but text
  bool ascii = false;   // no letters and signs but those of ASCII (InAscii)
};

class Page {
 public:
  explicit Page(const TextStyle& style) : style_(style) {}
  virtual ~Page() = default;

  virtual void Blank() { text_ += '\n'; }
  // A line in bold, wrapped.
  virtual void Heading(std::string_view text);
  // Text wrapped at the width, the first line behind `lead`, the others indented as far. Made harmless first.
  virtual void Paragraph(std::string_view lead, std::string_view text);
  // One line as it is, not wrapped.
  virtual void Line(std::string_view lead, std::string_view text);
  // A paragraph, dimmed.
  virtual void Aside(std::string_view lead, std::string_view text);
  // `left` wrapped so that `right` fits flush behind its last line.
  virtual void Pair(std::string_view lead, std::string_view left, std::string_view right);

  const std::string& text() const { return text_; }

 private:
  std::string Shown(std::string_view text) const;
  void Wrapped(std::string_view lead, std::string_view text, std::string_view on, std::string_view off);

  TextStyle style_;
  std::string text_;
};

// How many lines a text has, each with its end.
int LinesOf(std::string_view text);

// A bar of `width` columns for a share of 0 to 1, drawn with eighths of a block: "████▌   ". A share above 0
// shows at least an eighth.
std::string Bar(double share, int width);

// "81 in 100", "3 in 1000", "more than 999 in 1000", "less than 1 in 10000".
std::string ShowChance(double chance);
// "odds × 14", "odds ÷ 5", "settles it", "rules it out".
std::string ShowOddsFactor(double factor);
// "12 min", "3 h 10 min".
std::string ShowMinutes(double minutes);

}  // namespace gearwhy
