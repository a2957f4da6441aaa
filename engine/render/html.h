// HTML: pages for a browser and for paper, each one file that loads nothing and runs nothing.
//
// In: pieces of a page and texts, whatever they hold. Out: HTML5 that is well-formed XML as well, so that any XML parser
// can check it.
// Every text is escaped where it lands, in elements and attributes alike, after what would reach further than
// its place was made harmless (safe_text.h). Names of elements, classes, ids and styles are our own, never
// data's. A content security policy stands at the top as a second line of defence.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/render/page.h"

namespace gearwhy {

// For text, attributes and SVG: harmless, and with & < > " ' as references. Newlines stay.
std::string EscapeHtml(std::string_view text);

// "<p>...</p>", with a class where one is given.
std::string Tagged(std::string_view name, std::string_view text, std::string_view css_class = "");

// The pieces of a page as HTML. What has a mark before it (· ! + - _ x, or a number) becomes an item of a
// list; `_` and `x` get a box to tick.
class HtmlPage : public Page {
 public:
  // `level`: of its headings, 2 to 6.
  explicit HtmlPage(int level) : Page(TextStyle{}), level_(level) {}

  void Blank() override {}
  void Heading(std::string_view text) override;
  void Paragraph(std::string_view lead, std::string_view text) override;
  void Line(std::string_view lead, std::string_view text) override;
  void Aside(std::string_view lead, std::string_view text) override;
  void Pair(std::string_view lead, std::string_view left, std::string_view right) override;

  // Text that is HTML already.
  void Raw(std::string_view html);
  // All of it; whatever was open is closed.
  std::string Html();

 private:
  void Item(std::string_view mark, std::string_view html);
  void CloseList();

  int level_;
  bool in_list_ = false;
  std::string html_;
};

// "<section aria-labelledby=..."; `id` is ours, and is used once in a page. Nothing where `body` is empty.
std::string Section(std::string_view id, std::string_view heading, std::string_view body,
                    std::string_view css_class = "");

// What may be wider than a phone, in a frame that scrolls sideways; `label` says what it is.
std::string Scrolling(std::string_view label, std::string_view html);

// A whole page in the language and style of the sheets.
std::string HtmlDocument(std::string_view title, std::string_view body, std::string_view css_class = "");

}  // namespace gearwhy
