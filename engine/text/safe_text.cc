#include "engine/text/safe_text.h"

#include <fmt/format.h>
#include <utf8proc.h>

#include <algorithm>
#include <iterator>
#include <utility>

#include "engine/text/utf8.h"

namespace gearwhy {
namespace {

// Of the vowels and finals that Hangul syllables are composed with: U+1160 to U+11FF.
constexpr char32_t kHangulVowels = 0x1160, kLastHangulFinal = 0x11FF;

std::string Escaped(const CodePoint& c) {
  const auto value = static_cast<unsigned>(c.value);
  if (!c.valid || value < 0x80) return fmt::format("\\x{:02x}", value);
  if (value <= 0xFFFF) return fmt::format("\\u{:04x}", value);
  return fmt::format("\\U{:08x}", value);
}

std::string Safe(std::string_view text, bool one_line) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const CodePoint c = DecodeUtf8(text, at);
    if (one_line && c.valid && c.value == '\n') {
      out += "\\n";
    } else if (one_line && c.valid && c.value == '\t') {
      out += "\\t";
    } else if (!c.valid || IsHarmful(c.value)) {
      out += Escaped(c);
    } else {
      out += text.substr(at, c.bytes);
    }
    at += c.bytes;
  }
  return out;
}

int Width(const CodePoint& c) {
  if (!c.valid) return 1;
  if (c.value >= kHangulVowels && c.value <= kLastHangulFinal) return 0;  // they join the syllable before
  return utf8proc_charwidth(static_cast<utf8proc_int32_t>(c.value));
}

// The longest head of `text` that is at most `width` columns wide, but at least one character with its marks.
std::string_view Head(std::string_view text, int width) {
  int used = 0;
  std::size_t at = 0;
  while (at < text.size()) {
    const CodePoint c = DecodeUtf8(text, at);
    if (at > 0 && Width(c) > 0 && used + Width(c) > width) break;
    used += Width(c);
    at += c.bytes;
  }
  return text.substr(0, at);
}

// The words of one line put together again, as many to a line as fit.
void WrapLine(std::string_view line, int width, std::vector<std::string>* out) {
  std::string current;
  int used = 0;
  for (std::size_t at = 0; at < line.size();) {
    if (line[at] == ' ') {
      ++at;
      continue;
    }
    const std::size_t end = std::min(line.find(' ', at), line.size());
    std::string_view word = line.substr(at, end - at);
    at = end;
    if (!current.empty() && used + 1 + DisplayWidth(word) <= width) {
      current += ' ';
      current += word;
      used += 1 + DisplayWidth(word);
      continue;
    }
    if (!current.empty()) out->push_back(std::move(current));
    while (DisplayWidth(word) > width) {
      const std::string_view head = Head(word, width);
      if (head.size() == word.size()) break;
      out->emplace_back(head);
      word.remove_prefix(head.size());
    }
    current = word;
    used = DisplayWidth(word);
  }
  out->push_back(std::move(current));
}

// What signs are written as that are no letters with marks. Of a block at least half full #, else |.
std::string_view SignInAscii(char32_t sign) {
  static constexpr std::pair<char32_t, std::string_view> kSigns[] = {
      {U'×', "x"}, {U'÷', "/"},  {U'±', "+-"},  {U'−', "-"},   {U'–', "-"},  {U'—', "-"}, {U'·', "-"},
      {U'•', "-"}, {U'→', ">"},  {U'°', "deg"}, {U'Ω', "Ohm"}, {U'μ', "u"},  {U'⁄', "/"}, {U'‘', "'"},
      {U'’', "'"}, {U'“', "\""}, {U'”', "\""},  {U'≤', "<="},  {U'≥', ">="}, {U'█', "#"}, {U'▉', "#"},
      {U'▊', "#"}, {U'▋', "#"},  {U'▌', "#"},   {U'▍', "|"},   {U'▎', "|"},  {U'▏', "|"}, {U'ß', "ss"}};
  for (const auto& [known, written] : kSigns) {
    if (known == sign) return written;
  }
  return "";
}

std::string CharacterInAscii(const CodePoint& c) {
  const std::string unknown(static_cast<std::size_t>(std::max(Width(c), 0)), '?');
  if (!c.valid) return unknown;
  utf8proc_int32_t parts[18];  // Unicode has no longer decomposition
  int bounds = 0;
  const auto options =
      static_cast<utf8proc_option_t>(UTF8PROC_DECOMPOSE | UTF8PROC_COMPAT | UTF8PROC_STRIPMARK);
  const auto count = utf8proc_decompose_char(static_cast<utf8proc_int32_t>(c.value), parts, std::ssize(parts),
                                             options, &bounds);
  std::string written;
  for (utf8proc_ssize_t i = 0; i < std::min<utf8proc_ssize_t>(count, std::ssize(parts)); ++i) {
    const std::string_view sign = SignInAscii(static_cast<char32_t>(parts[i]));
    if (parts[i] >= 0x80 && sign.empty()) return unknown;
    if (sign.empty()) written += static_cast<char>(parts[i]);
    written += sign;
  }
  return written;
}

}  // namespace

bool IsHarmful(char32_t c) {
  if (c < 0x20) return c != '\n' && c != '\t';
  if (c >= 0x7F && c < 0xA0) return true;  // DEL and C1
  if (c < 0xAD) return false;
  return c == 0x00AD || c == 0x061C || c == 0x180E ||  // soft hyphen, Arabic letter mark, vowel separator
         (c >= 0x200B &&
          c <= 0x200F) ||  // zero-width space and joiners, left-to-right and right-to-left marks
         (c >= 0x2028 && c <= 0x202E) ||  // line and paragraph separators, embeddings and overrides
         (c >= 0x2060 && c <= 0x206F) ||  // word joiner, invisible operators, isolates
         c == 0xFEFF ||
         (c >= 0xFFF9 && c <= 0xFFFB) ||  // byte-order mark, interlinear annotation
         (c >= 0xE0000 && c <= 0xE007F);  // tag characters
}

std::string SafeText(std::string_view text) { return Safe(text, false); }

std::string SafeLine(std::string_view text) { return Safe(text, true); }

std::string InTicks(std::string_view text, int width) {
  // Cut before escaping, so that a huge text costs nothing; an escape is never longer than ten columns.
  const std::string safe = SafeLine(Head(text, width));
  const std::string_view head = Head(safe, width);
  const bool cut = head.size() < safe.size() || Head(text, width).size() < text.size();
  return fmt::format("`{}{}`", head, cut ? "..." : "");
}

int DisplayWidth(std::string_view text) {
  int width = 0;
  for (std::size_t at = 0; at < text.size();) {
    const CodePoint c = DecodeUtf8(text, at);
    width += Width(c);
    at += c.bytes;
  }
  return width;
}

std::string InAscii(std::string_view text) {
  std::string ascii;
  ascii.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const CodePoint c = DecodeUtf8(text, at);
    if (c.valid && c.value < 0x80) {
      ascii += text[at];
    } else {
      ascii += CharacterInAscii(c);
    }
    at += c.bytes;
  }
  return ascii;
}

std::vector<std::string> WrapText(std::string_view text, int width) {
  std::vector<std::string> lines;
  for (;;) {
    const std::size_t end = text.find('\n');
    WrapLine(text.substr(0, end), std::max(width, 1), &lines);
    if (end == std::string_view::npos) return lines;
    text.remove_prefix(end + 1);
  }
}

}  // namespace gearwhy
