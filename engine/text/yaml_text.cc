#include "engine/text/yaml_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cstddef>
#include <system_error>

#include "engine/text/safe_text.h"
#include "engine/text/utf8.h"

namespace gearwhy {
namespace {

constexpr std::string_view kNoBreakSpace = "\u00A0";

// The spaces of typography, which look like indentation and are not: U+00A0, U+2000 to U+200A, U+202F,
// U+205F, U+3000.
bool IsOtherSpace(char32_t c) {
  return c == 0xA0 || (c >= 0x2000 && c <= 0x200A) || c == 0x202F || c == 0x205F || c == 0x3000;
}

// Reports each kind of fault once, at its first place.
class TextCheck {
 public:
  TextCheck(const Sources& sources, int source, Diagnostics& diagnostics)
      : text_(sources, source), source_(source), diagnostics_(diagnostics) {}

  bool Run(const YamlLimits& limits, std::string_view whole) {
    if (whole.starts_with("\xFF\xFE") || whole.starts_with("\xFE\xFF")) {
      diagnostics_.Error(Place{source_, 0, 0, 1}, "not-utf8",
                         "the file is written in UTF-16; save it as UTF-8");
      return false;
    }
    for (int line = 0; line < text_.line_count(); ++line) {
      CheckLength(line, limits);
      CheckCharacters(line);
      CheckIndentation(line);
      if (text_.Line(line).starts_with('%')) {
        Report("directive", {line, 0}, 1, "a line cannot start with `%` here; put the text in quotes");
      }
    }
    return reported_.empty();
  }

 private:
  void Report(const char* code, Spot spot, std::size_t length, std::string message) {
    if (std::find(reported_.begin(), reported_.end(), code) != reported_.end()) return;
    reported_.emplace_back(code);
    diagnostics_.Error(Place{source_, spot.line + 1, spot.column + 1, static_cast<int>(length)}, code,
                       std::move(message));
  }

  void CheckLength(int line, const YamlLimits& limits) {
    const std::size_t size = text_.Line(line).size();
    if (size <= limits.line_bytes || IsOneLine()) return;
    Report("long-line", {line, static_cast<int>(limits.line_bytes)}, 1,
           fmt::format("the line is {} bytes long; at most {} are read", size, limits.line_bytes));
  }

  // As JSON that a program has written. It is no longer than a text may be.
  bool IsOneLine() const {
    return text_.line_count() == 1 || (text_.line_count() == 2 && text_.Line(1).empty());
  }

  void CheckCharacters(int line) {
    const std::string_view text = text_.Line(line);
    for (std::size_t at = 0; at < text.size();) {
      const CodePoint c = DecodeUtf8(text, at);
      const Spot spot{line, static_cast<int>(at)};
      const std::string shown = SafeLine(text.substr(at, c.bytes));
      if (!c.valid) {
        Report("not-utf8", spot, 1, fmt::format("the byte {} is not UTF-8; save the file as UTF-8", shown));
      } else if (c.value == '\r') {
        Report("lone-return", spot, 1,
               "a carriage return stands without a newline; save the file with the line ends of Unix or "
               "Windows");
      } else if (IsRefusedInYaml(c.value)) {
        Report("control-character", spot, c.bytes,
               fmt::format("the invisible character {} is not allowed; delete it", shown));
      }
      at += c.bytes;
    }
  }

  // Leading spaces and the dashes of a list are indentation; nothing else that looks blank is.
  void CheckIndentation(int line) {
    const std::string_view text = text_.Line(line);
    if (text.find_first_not_of(" \t") == std::string_view::npos && text.find('\t') == std::string_view::npos)
      return;
    std::size_t at = 0;
    const auto is_blank = [&](std::size_t i) {
      return i >= text.size() || text[i] == ' ' || text[i] == '\t';
    };
    while (at < text.size()) {
      const CodePoint c = DecodeUtf8(text, at);
      const Spot spot{line, static_cast<int>(at)};
      if (c.value == '\t') {
        Report("tab", spot, 1, "a tab cannot indent a line; use spaces");
        return;
      }
      if (c.valid && IsOtherSpace(c.value)) {
        Report("no-break-space", spot, c.bytes,
               "a no-break or other special space cannot indent a line; use spaces");
        return;
      }
      const bool is_dash =
          c.value == '-' && (is_blank(at + 1) || text.substr(at + 1).starts_with(kNoBreakSpace));
      if (c.value != ' ' && !is_dash) break;
      at += c.bytes;
    }
    const std::size_t behind_colon = text.find(std::string(":") + std::string(kNoBreakSpace), at);
    if (behind_colon != std::string_view::npos && !text.substr(at).starts_with('#')) {
      Report("no-break-space", {line, static_cast<int>(behind_colon + 1)}, kNoBreakSpace.size(),
             "a no-break space stands behind the colon; use a space");
    }
  }

  YamlText text_;
  int source_;
  Diagnostics& diagnostics_;
  std::vector<std::string> reported_;
};

}  // namespace

bool IsRefusedInYaml(char32_t c) { return IsHarmful(c) && c != 0x200C && c != 0x200D; }

bool CheckYamlText(const Sources& sources, int source, const YamlLimits& limits, Diagnostics& diagnostics) {
  return TextCheck(sources, source, diagnostics).Run(limits, sources.Text(source));
}

YamlText::YamlText(const Sources& sources, int source) : sources_(sources), source_(source) {
  const std::string& text = sources.Text(source);
  const auto count = static_cast<int>(std::count(text.begin(), text.end(), '\n')) + 1;
  for (int line = 1; line <= count; ++line) lines_.push_back(sources.Line(source, line));
  // A carriage return at the very end belongs to no line end; keep it in sight.
  if (text.ends_with('\r')) lines_.back() = std::string_view(lines_.back().data(), lines_.back().size() + 1);
  FindSurrogatePairs();
}

namespace {

constexpr std::size_t kEscapeLength = 6;   // `\ud83d`
constexpr std::size_t kPairLength = 12;    // `\ud83d\ude00`
constexpr std::size_t kMergedLength = 10;  // `\U0001f600`

// The code unit of the escape `\uXXXX` that the text starts with.
std::optional<unsigned> EscapedUnit(std::string_view text) {
  if (text.size() < kEscapeLength || !text.starts_with("\\u")) return std::nullopt;
  unsigned unit = 0;
  const auto [end, error] = std::from_chars(text.data() + 2, text.data() + kEscapeLength, unit, 16);
  if (error != std::errc() || end != text.data() + kEscapeLength) return std::nullopt;
  return unit;
}

// The character of an escaped surrogate pair that the text starts with.
std::optional<unsigned> EscapedPair(std::string_view text) {
  const auto high = EscapedUnit(text);
  if (!high || *high < 0xD800 || *high > 0xDBFF) return std::nullopt;
  const auto low = EscapedUnit(text.substr(kEscapeLength));
  if (!low || *low < 0xDC00 || *low > 0xDFFF) return std::nullopt;
  return 0x10000 + ((*high - 0xD800) << 10) + (*low - 0xDC00);
}

}  // namespace

void YamlText::FindSurrogatePairs() {
  const std::string& text = sources_.Text(source_);
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  if (first == std::string::npos || text[first] != '{') return;
  bool inside = false;  // of double quotes
  for (int line = 0; line < line_count(); ++line) {
    const std::string_view content = Line(line);
    for (std::size_t at = 0; at < content.size(); ++at) {
      if (content[at] == '"') inside = !inside;
      if (!inside || content[at] != '\\') continue;
      const bool is_pair = EscapedPair(content.substr(at)).has_value();
      if (is_pair) pairs_.push_back({line, static_cast<int>(at)});
      at += is_pair ? kPairLength - 1 : 1;
    }
  }
}

Spot YamlText::FromParser(Spot spot) const {
  const auto before = [](const Spot& pair, int line) { return pair.line < line; };
  for (auto pair = std::lower_bound(pairs_.begin(), pairs_.end(), spot.line, before);
       pair != pairs_.end() && pair->line == spot.line && pair->column < spot.column; ++pair) {
    spot.column += static_cast<int>(kPairLength - kMergedLength);
  }
  return spot;
}

std::string_view YamlText::Line(int line) const {
  return line >= 0 && line < line_count() ? lines_[static_cast<std::size_t>(line)] : std::string_view();
}

char YamlText::At(Spot spot) const {
  const std::string_view line = Line(spot.line);
  return spot.column >= 0 && static_cast<std::size_t>(spot.column) < line.size()
             ? line[static_cast<std::size_t>(spot.column)]
             : '\0';
}

int YamlText::Indent(int line) const {
  const std::string_view text = Line(line);
  return static_cast<int>(std::min(text.find_first_not_of(' '), text.size()));
}

bool YamlText::IsBlankOrComment(int line) const {
  const std::string_view text = Line(line);
  const std::size_t first = text.find_first_not_of(" \t");
  return first == std::string_view::npos || text[first] == '#';
}

int YamlText::LineBefore(int line) const {
  for (--line; line >= 0 && IsBlankOrComment(line);) --line;
  return line;
}

Place YamlText::ToPlace(Spot spot, int length) const {
  if (spot.line >= 0 && spot.line < line_count()) {
    const auto size = static_cast<int>(Line(spot.line).size());
    return {source_, spot.line + 1, std::min(spot.column, size) + 1, std::max(length, 1)};
  }
  const int last = std::max(LineBefore(line_count()), 0);
  return {source_, last + 1, static_cast<int>(Line(last).size()) + 1, 1};
}

Spot YamlText::EndOfQuoted(Spot open) const {
  const char quote = At(open);
  Spot at{open.line, open.column + 1};
  while (at.line < line_count()) {
    const char c = At(at);
    if (c == '\0') {  // raw zero bytes were refused, so this is the end of the line
      at = {at.line + 1, 0};
    } else if (quote == '"' && c == '\\') {
      at.column += 2;
    } else if (c == quote && quote == '\'' && At({at.line, at.column + 1}) == quote) {
      at.column += 2;
    } else if (c == quote) {
      return {at.line, at.column + 1};
    } else {
      ++at.column;
    }
  }
  return at;
}

std::optional<Spot> YamlText::UnclosedBracket(Spot open) const {
  std::vector<Spot> opened;
  char before =
      ',';  // the last character that is no space: a quote behind anything but these is an apostrophe
  for (Spot at = open; at.line < line_count();) {
    const char c = At(at);
    const bool is_comment = c == '#' && (at.column == 0 || At({at.line, at.column - 1}) == ' ');
    if (c == '\0' || is_comment) {
      at = {at.line + 1, 0};
      continue;
    }
    if ((c == '"' || c == '\'') && std::string_view("[{,:").find(before) != std::string_view::npos) {
      at = EndOfQuoted(at);
      before = c;
      continue;
    }
    if (c == '[' || c == '{') opened.push_back(at);
    if (c == ']' || c == '}') opened.pop_back();
    if (opened.empty()) return std::nullopt;
    if (c != ' ') before = c;
    ++at.column;
  }
  return opened.back();
}

Spot YamlText::FindOutsideComments(Spot from, std::string_view wanted) const {
  for (; from.line < line_count(); from = {from.line + 1, 0}) {
    const std::string_view line = Line(from.line);
    for (auto at = static_cast<std::size_t>(from.column); at < line.size(); ++at) {
      if (wanted.find(line[at]) != std::string_view::npos) return {from.line, static_cast<int>(at)};
      if (line[at] == '#' && (at == 0 || line[at - 1] == ' ' || line[at - 1] == '\t')) break;
    }
  }
  return from;
}

std::string YamlText::ForParser() const {
  std::string out;
  out.reserve(sources_.Text(source_).size() + 8);
  auto pair = pairs_.begin();
  for (int i = 0; i < line_count(); ++i) {
    std::string_view line = Line(i);
    std::size_t done = 0;
    for (; pair != pairs_.end() && pair->line == i; ++pair) {
      const auto column = static_cast<std::size_t>(pair->column);
      out += line.substr(done, column - done);
      out += fmt::format("\\U{:08x}", *EscapedPair(line.substr(column)));
      done = column + kPairLength;
    }
    out += line.substr(done);
    out += '\n';
  }
  // The last line is empty when the text ends with a newline; it must not add a blank line to a block.
  if (lines_.back().empty()) out.pop_back();
  out += "...\n";
  if (lines_.size() == 1 && lines_[0].empty()) out.insert(0, "\n");
  return out;
}

}  // namespace gearwhy
