#include "engine/render/sheet_parts.h"

#include <fmt/format.h>

#include "engine/render/html.h"
#include "engine/render/pieces.h"

namespace gearwhy {

std::string VerdictHtml(const CaseVerdict& verdict, const Speaker& speaker) {
  const std::vector<VerdictLine> lines = VerdictLines(verdict, speaker);
  if (lines.empty()) return "";
  std::string html = "<dl class=\"verdict\">\n";
  for (const VerdictLine& line : lines) {
    html += fmt::format("<div><dt>{}</dt><dd>{}</dd>", EscapeHtml(line.label), EscapeHtml(line.text));
    if (!line.value.empty()) html += fmt::format("<dd class=\"value\">{}</dd>", EscapeHtml(line.value));
    html += "</div>\n";
  }
  return html + "</dl>\n";
}

std::string NoteLines(int count) {
  std::string html = "<div class=\"lines\">\n";
  for (int i = 0; i < count; ++i) html += "<div></div>\n";
  return html + "</div>\n";
}

std::string Foot(const std::string& of, const std::vector<std::string>& layers) {
  std::string books;
  for (const std::string& layer : layers) books += (books.empty() ? "" : ", ") + layer;
  std::string text = of;
  if (!books.empty()) text += fmt::format(" · rules: {}", books);
  return "<footer>\n" + Tagged("p", text + " · gearwhy " GEARWHY_VERSION) + "</footer>\n";
}

}  // namespace gearwhy
