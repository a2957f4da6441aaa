#include "engine/text/diagnostic.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <utility>

#include "engine/text/number.h"
#include "engine/text/safe_text.h"
#include "engine/text/utf8.h"

namespace gearwhy {
namespace {

constexpr int kExcerptColumns = 100;
constexpr int kColumnsBeforeCaret = 40;  // kept in sight when a line is cut
constexpr std::string_view kCut = "...";

// A source line and the underline beneath it, each cut to the same window.
struct Excerpt {
  std::string line;
  std::string carets;
};

Excerpt MakeExcerpt(std::string_view line, const Place& place) {
  const std::size_t from = std::min(static_cast<std::size_t>(std::max(place.column, 1) - 1), line.size());
  const std::size_t to = std::min(from + static_cast<std::size_t>(std::max(place.length, 1)), line.size());
  const int caret_begin = DisplayWidth(SafeLine(line.substr(0, from)));
  const int caret_end = std::max(caret_begin + 1, DisplayWidth(SafeLine(line.substr(0, to))));

  // The window [begin, end) in columns. A character that straddles its edge is left out.
  const int whole = DisplayWidth(SafeLine(line));
  int begin = 0;
  if (whole > kExcerptColumns && caret_begin > kColumnsBeforeCaret) {
    begin = std::min(caret_begin - kColumnsBeforeCaret, whole - kExcerptColumns);
    begin = std::min(begin, caret_begin);
  }
  const int end = begin + kExcerptColumns;

  Excerpt excerpt;
  if (begin > 0) excerpt.line = kCut;
  int column = 0, first_shown = -1;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t bytes = DecodeUtf8(line, at).bytes;
    const std::string shown = SafeLine(line.substr(at, bytes));
    const int width = DisplayWidth(shown);
    if (column >= begin && column + width <= end) {
      if (first_shown < 0) first_shown = column;
      excerpt.line += shown;
    }
    column += width;
    at += bytes;
  }
  if (whole > end) excerpt.line += kCut;
  const int shift = std::max(first_shown, 0) - (begin > 0 ? static_cast<int>(kCut.size()) : 0);
  excerpt.carets =
      std::string(static_cast<std::size_t>(std::max(caret_begin - shift, 0)), ' ') +
      std::string(static_cast<std::size_t>(std::max(1, std::min(caret_end, end) - caret_begin)), '^');
  return excerpt;
}

// "name:12:3: " or "name: " or "".
std::string Prefix(const Place& place, const Sources& sources) {
  if (!place.IsSomewhere()) return "";
  const std::string name = SafeLine(sources.Name(place.source));
  if (place.line < 1) return name + ": ";
  return fmt::format("{}:{}:{}: ", name, place.line, place.column);
}

// At most `most`, in order, warnings giving way to errors; those left out are counted.
std::vector<Diagnostic> Selected(std::vector<Diagnostic> all, std::size_t most, std::size_t* errors_left,
                                 std::size_t* warnings_left) {
  std::size_t errors = 0;
  for (const Diagnostic& d : all) errors += d.severity == Severity::kError ? 1 : 0;
  std::size_t error_room = std::min(errors, most);
  std::size_t warning_room = std::min(all.size() - errors, most - error_room);
  *errors_left = errors - error_room;
  *warnings_left = all.size() - errors - warning_room;
  std::erase_if(all, [&](const Diagnostic& d) {
    std::size_t& room = d.severity == Severity::kError ? error_room : warning_room;
    if (room == 0) return true;
    --room;
    return false;
  });
  return all;
}

}  // namespace

Diagnostic& Diagnostics::Add(Severity severity, const Place& place, std::string code, std::string message) {
  const auto [known, is_new] = known_.try_emplace({place, severity, message}, all_.size());
  if (!is_new) return all_[known->second];
  if (severity == Severity::kError) ++error_count_;
  return all_.emplace_back(Diagnostic{severity, place, std::move(message), std::move(code), {}});
}

Diagnostic& Diagnostics::Error(const Place& place, std::string code, std::string message) {
  return Add(Severity::kError, place, std::move(code), std::move(message));
}

Diagnostic& Diagnostics::Warning(const Place& place, std::string code, std::string message) {
  return Add(Severity::kWarning, place, std::move(code), std::move(message));
}

void Diagnostics::Append(const Diagnostics& other) {
  for (const Diagnostic& d : other.all_) {
    Diagnostic& mine = Add(d.severity, d.place, d.code, d.message);
    mine.notes.insert(mine.notes.end(), d.notes.begin(), d.notes.end());
  }
}

std::vector<Diagnostic> Diagnostics::Sorted() const {
  std::vector<Diagnostic> sorted = all_;
  std::stable_sort(sorted.begin(), sorted.end(), [](const Diagnostic& a, const Diagnostic& b) {
    return std::tie(a.place.source, a.place.line, a.place.column) <
           std::tie(b.place.source, b.place.line, b.place.column);
  });
  // A message that came twice brought its notes twice.
  for (Diagnostic& d : sorted) {
    std::vector<Note> notes;
    for (Note& note : d.notes) {
      const bool known = std::any_of(notes.begin(), notes.end(), [&](const Note& other) {
        return other.place == note.place && other.message == note.message;
      });
      if (!known) notes.push_back(std::move(note));
    }
    d.notes = std::move(notes);
  }
  return sorted;
}

std::string RenderDiagnostics(const Diagnostics& diagnostics, const Sources& sources, int most) {
  std::size_t errors_left = 0, warnings_left = 0;
  const std::vector<Diagnostic> selected = Selected(
      diagnostics.Sorted(), static_cast<std::size_t>(std::max(most, 0)), &errors_left, &warnings_left);

  std::string out;
  for (const Diagnostic& d : selected) {
    out += fmt::format("{}{}: {} [{}]\n", Prefix(d.place, sources),
                       d.severity == Severity::kError ? "error" : "warning", SafeLine(d.message), d.code);
    if (d.place.IsSomewhere() && d.place.line >= 1) {
      const Excerpt excerpt = MakeExcerpt(sources.Line(d.place.source, d.place.line), d.place);
      out += fmt::format("{:>5} | {}\n{:>5} | {}\n", d.place.line, excerpt.line, "", excerpt.carets);
    }
    for (const Note& note : d.notes) {
      out += fmt::format("{}note: {}\n", Prefix(note.place, sources), SafeLine(note.message));
    }
  }
  if (errors_left > 0 && warnings_left > 0) {
    out += fmt::format("and {} and {}\n", Counted(errors_left, "more error"),
                       Counted(warnings_left, "more warning"));
  } else if (errors_left > 0) {
    out += fmt::format("and {}\n", Counted(errors_left, "more error"));
  } else if (warnings_left > 0) {
    out += fmt::format("and {}\n", Counted(warnings_left, "more warning"));
  }
  return out;
}

}  // namespace gearwhy
