// The index of a shop's cases: which can go back, which are open, and the same by unit and by cause.
#include <fmt/format.h>

#include <map>

#include "engine/render/html.h"
#include "engine/render/pieces.h"
#include "engine/render/sheet_html.h"
#include "engine/render/sheet_parts.h"
#include "engine/text/ascii.h"

namespace gearwhy {
namespace {

// A file name as the address of a page beside this one: all but letters, digits and `-._` as %41 (RFC 3986).
// With "./" before it no name is taken for another kind of address.
std::string Address(const std::string& file) {
  std::string address = "./";
  for (const char c : file) {
    const bool plain = IsLetter(c) || IsDigit(c) || c == '-' || c == '.' || c == '_';
    address += plain ? std::string(1, c) : fmt::format("%{:02X}", static_cast<unsigned char>(c));
  }
  return address;
}

std::string Link(const IndexEntry& entry) {
  return fmt::format("<a href=\"{}\">{}</a>", Address(entry.file),
                     EscapeHtml(entry.title.empty() ? entry.case_id : entry.title));
}

std::string Table(const std::vector<const IndexEntry*>& entries, const std::string& caption) {
  if (entries.empty()) return "";
  std::string html = fmt::format(
      "<table>\n<caption>{}</caption>\n<thead><tr><th scope=\"col\">Case</th><th scope=\"col\">Unit</th>"
      "<th scope=\"col\">Most likely</th><th scope=\"col\">Chance</th><th "
      "scope=\"col\">Next</th></tr></thead>\n<tbody>\n",
      EscapeHtml(caption));
  for (const IndexEntry* entry : entries)
    html += fmt::format(
        "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td class=\"value\">{}</td><td>{}</td></tr>\n",
        Link(*entry), EscapeHtml(entry->unit), EscapeHtml(entry->cause), EscapeHtml(entry->chance),
        EscapeHtml(entry->next));
  return Scrolling(caption, html + "</tbody>\n</table>\n");
}

std::string OfStage(const std::vector<IndexEntry>& entries, CaseStage stage, const std::string& caption) {
  std::vector<const IndexEntry*> those;
  for (const IndexEntry& entry : entries) {
    if (entry.error.empty() && entry.stage == stage) those.push_back(&entry);
  }
  return Table(those, fmt::format("{}: {}", caption, those.size()));
}

// The cases under what `of` says of each, in the order of that.
template <typename Of>
std::string Grouped(const std::vector<IndexEntry>& entries, Of of, const std::string& otherwise) {
  std::map<std::string, std::string> groups;
  std::string without;
  for (const IndexEntry& entry : entries) {
    if (!entry.error.empty()) continue;
    const std::string& name = of(entry);
    (name.empty() ? without : groups[name]) += "<li>" + Link(entry) + "</li>\n";
  }
  std::string html;
  for (const auto& [name, items] : groups)
    html += Tagged("h3", Capitalised(name)) + "<ul class=\"parts\">\n" + items + "</ul>\n";
  if (!without.empty()) html += Tagged("h3", otherwise) + "<ul class=\"parts\">\n" + without + "</ul>\n";
  return html;
}

}  // namespace

IndexEntry MakeIndexEntry(const SheetReport& report, const std::string& file, const Speaker& speaker) {
  IndexEntry entry;
  entry.file = file;
  entry.case_id = report.rank.case_id;
  entry.title = report.rank.title;
  entry.unit = speaker.SayUnit();
  entry.stage = report.stage;
  for (const VerdictLine& line : VerdictLines(report.next.verdict, speaker)) {
    if (line.label == "What") {
      entry.cause = line.text;
      entry.chance = line.value;
    } else if (line.label == "Next") {
      entry.next = line.value.empty() ? line.text : fmt::format("{} {}", line.text, line.value);
    }
  }
  if (!report.rank.suspects.empty() && report.next.verdict.lead &&
      report.next.verdict.pull.advice != PullAdvice::kNothing)
    entry.place =
        SayPlaceName(report.rank.suspects.front().place, report.rank.suspects.front().statement, speaker);
  return entry;
}

std::string IndexHtml(const std::vector<IndexEntry>& entries, const std::string& folder) {
  const std::string title = fmt::format("Cases of {}", folder);
  std::string html = "<header>\n" + Tagged("h1", title) + "</header>\n<main>\n";
  html += Section("stage", "Where they stand",
                  OfStage(entries, CaseStage::kReady, "Ready to close") +
                      OfStage(entries, CaseStage::kNotReady, "Begun, not ready to close") +
                      OfStage(entries, CaseStage::kOpen, "Open"));
  html += Section(
      "units", "By unit",
      Grouped(
          entries, [](const IndexEntry& e) -> const std::string& { return e.unit; }, "No unit named"));
  html +=
      Section("causes", "By where the most likely cause is",
              Grouped(
                  entries, [](const IndexEntry& e) -> const std::string& { return e.place; }, "None named"));
  HtmlPage failed(3);
  for (const IndexEntry& entry : entries) {
    if (!entry.error.empty()) failed.Paragraph("·", fmt::format("{}: {}", entry.case_id, entry.error));
  }
  html += Section("failed", "Could not be read", failed.Html());
  html += "</main>\n" + Foot(fmt::format("{} cases", entries.size()), {});
  return HtmlDocument(title, html, "index");
}

}  // namespace gearwhy
