// Text that came from a file, a file name or a library, made harmless before it reaches a terminal; and how
// wide it will be there.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace gearwhy {

// C0 controls other than newline and tab, DEL, C1, bidirectional and zero-width characters and invalid UTF-8
// bytes become
// `\x1b`, `\u202e` and the like. Everything else passes unchanged.
std::string SafeText(std::string_view text);
// The same with newline and tab as `\n` and `\t`: for text that must stay on one line.
std::string SafeLine(std::string_view text);

// Whether a code point is one of those that SafeText escapes.
bool IsHarmful(char32_t code_point);

// Text in backticks for a message, on one line and cut with "..." after `width` columns: "`1,5`".
std::string InTicks(std::string_view text, int width = 60);

// Columns that UTF-8 text takes on a terminal: 2 for wide East Asian characters and emoji, 0 for combining
// marks and controls, 1 for everything else (an invalid byte, too).
int DisplayWidth(std::string_view text);

// The same in ASCII alone, for where nothing else can be shown: x for ×, +- for ±, # for a bar, the letter
// without its marks for one with them, and ? for each column of anything else.
std::string InAscii(std::string_view text);

// Breaks text at spaces into lines of at most `width` columns; a word longer than that is cut. Newlines in
// the text are kept as breaks. Never returns an empty vector.
std::vector<std::string> WrapText(std::string_view text, int width);

}  // namespace gearwhy
