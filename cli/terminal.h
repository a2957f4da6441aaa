// Terminal: what is written to standard output and standard error, and how it looks there. The one place that
// decides on emphasis, width and letters.
//
// Emphasis is bold and dim, and says nothing by itself. It is shown at a terminal, unless NO_COLOR is set to
// anything (no-color.org), CLICOLOR is 0, or TERM is `dumb`; CLICOLOR_FORCE, other than 0, shows it through a
// pipe, too (bixense.com/clicolors); `--color` goes before all of them.
// Letters: where the locale (LC_ALL, LC_CTYPE, LANG) is not of UTF-8, pages are written in ASCII alone: x for
// ×, +- for ±, bars of #. What programs read, JSON and CSV, is UTF-8 always.
#pragma once

#include <string>

#include "engine/render/page.h"

namespace gearwhy {

enum class Emphasis { kAuto, kAlways, kNever };

// For all that follows.
void WantEmphasis(Emphasis when);

// 80 columns; on a terminal as many as it has, from 40 to 100.
TextStyle StyleOfStdout();

// Write results to stdout: pages for people, data for programs. False when they did not get there (closed
// pipe, full disk).
bool WriteOut(const std::string& page);
bool WriteData(const std::string& data);
// What was written gets there now. False as before; Finish tells of it.
bool FlushOut();
// Messages, to stderr.
void WriteErr(const std::string& text);
// Flushes stdout. A closed pipe ends quietly; anything else that kept results from getting there is said on
// stderr.
int Finish(int exit_code);

}  // namespace gearwhy
