#include "engine/render/html.h"

#include <fmt/format.h>

#include "engine/render/sheet_style.h"
#include "engine/text/ascii.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

std::string_view Trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

std::string ClassOf(std::string_view css_class) {
  return css_class.empty() ? "" : fmt::format(" class=\"{}\"", css_class);
}

}  // namespace

std::string EscapeHtml(std::string_view text) {
  std::string out;
  for (const char c : SafeText(text)) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

std::string Tagged(std::string_view name, std::string_view text, std::string_view css_class) {
  return fmt::format("<{}{}>{}</{}>\n", name, ClassOf(css_class), EscapeHtml(text), name);
}

void HtmlPage::CloseList() {
  if (in_list_) html_ += "</ul>\n";
  in_list_ = false;
}

void HtmlPage::Item(std::string_view mark, std::string_view html) {
  if (!in_list_) html_ += "<ul class=\"marked\">\n";
  in_list_ = true;
  if (mark == "_" || mark == "x") {
    html_ += fmt::format("<li class=\"tick\"><label><input type=\"checkbox\"{}/> {}</label></li>\n",
                         mark == "x" ? " checked=\"checked\"" : "", html);
    return;
  }
  html_ += fmt::format("<li><span class=\"mark\">{}</span> {}</li>\n", EscapeHtml(mark), html);
}

void HtmlPage::Heading(std::string_view text) {
  CloseList();
  html_ += Tagged(fmt::format("h{}", level_), text);
}

void HtmlPage::Paragraph(std::string_view lead, std::string_view text) {
  if (const std::string_view mark = Trimmed(lead); !mark.empty()) {
    Item(mark, EscapeHtml(text));
    return;
  }
  CloseList();
  html_ += Tagged("p", text);
}

void HtmlPage::Line(std::string_view lead, std::string_view text) { Paragraph(lead, text); }

void HtmlPage::Aside(std::string_view lead, std::string_view text) {
  static_cast<void>(lead);
  CloseList();
  html_ += Tagged("p", text, "aside");
}

void HtmlPage::Pair(std::string_view lead, std::string_view left, std::string_view right) {
  static_cast<void>(lead);
  CloseList();
  html_ +=
      fmt::format("<p class=\"pair\"><span>{}</span> <b>{}</b></p>\n", EscapeHtml(left), EscapeHtml(right));
}

void HtmlPage::Raw(std::string_view html) {
  CloseList();
  html_ += html;
}

std::string HtmlPage::Html() {
  CloseList();
  return std::move(html_);
}

std::string Section(std::string_view id, std::string_view heading, std::string_view body,
                    std::string_view css_class) {
  if (body.empty()) return "";
  return fmt::format("<section{} aria-labelledby=\"h-{}\">\n<h2 id=\"h-{}\">{}</h2>\n{}</section>\n",
                     ClassOf(css_class), id, id, EscapeHtml(heading), body);
}

std::string Scrolling(std::string_view label, std::string_view html) {
  return fmt::format(
      "<div class=\"scroll\" tabindex=\"0\" role=\"group\" aria-label=\"{}, may scroll "
      "sideways\">\n{}</div>\n",
      EscapeHtml(label), html);
}

std::string HtmlDocument(std::string_view title, std::string_view body, std::string_view css_class) {
  return fmt::format(
      "<!DOCTYPE html>\n"
      "<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\">\n<head>\n"
      "<meta charset=\"utf-8\"/>\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; "
      "img-src data:; base-uri 'none'; form-action 'none'\"/>\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
      "<meta name=\"referrer\" content=\"no-referrer\"/>\n"
      "<meta name=\"generator\" content=\"gearwhy " GEARWHY_VERSION
      "\"/>\n"
      "<title>{}</title>\n<style>\n{}</style>\n</head>\n<body{}>\n{}</body>\n</html>\n",
      EscapeHtml(title), kSheetStyle, ClassOf(css_class), body);
}

}  // namespace gearwhy
