// The lines of a YAML source, and what is refused before any parser sees them. Inside engine/text only.
//
// The parser library misreads some texts without a word (a tab as one column, Latin-1 as bytes, a no-break
// space as a letter), so these are refused here, each with its place. Cost: linear in the text.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/text/diagnostic.h"
#include "engine/text/source.h"
#include "engine/text/yaml.h"

namespace gearwhy {

// A point between characters. Counts from 0, as the library does; columns are bytes.
struct Spot {
  int line = 0;
  int column = 0;
};

class YamlText {
 public:
  // The sources must outlive this; the lines are views into them.
  YamlText(const Sources& sources, int source);

  int line_count() const { return static_cast<int>(lines_.size()); }
  // The line without its end, or nothing outside the text.
  std::string_view Line(int line) const;
  // The character at a spot; 0 at the end of a line and outside the text.
  char At(Spot spot) const;
  // Number of spaces a line starts with.
  int Indent(int line) const;
  bool IsBlankOrComment(int line) const;
  // The last line before this one that is neither blank nor a comment, or -1.
  int LineBefore(int line) const;
  bool IsBehindTheEnd(Spot spot) const { return spot.line >= line_count(); }

  // A spot as a place. A spot behind its line becomes the line's end, one behind the text the end of the last
  // line that says something.
  Place ToPlace(Spot spot, int length = 1) const;

  // The spot behind the quoted text that starts at `open`; behind the last line when it never ends.
  Spot EndOfQuoted(Spot open) const;
  // Of the brackets opened from the `[` or `{` at `open` on, the innermost that is never closed; none when
  // `open` is.
  std::optional<Spot> UnclosedBracket(Spot open) const;
  // The first spot from here on that holds one of `wanted`, comments left out; behind the last line when none
  // does.
  Spot FindOutsideComments(Spot from, std::string_view wanted) const;

  // The whole text for the library: newlines only, and a document end mark, which turns a quote that is
  // never closed from silence into an error. In a text that begins with a brace, as JSON does, an escaped
  // surrogate pair (RFC 8259, section 7), which the library refuses, becomes the one escape that YAML has for
  // it.
  std::string ForParser() const;
  // Where a spot of that text lies in this one.
  Spot FromParser(Spot spot) const;

 private:
  void FindSurrogatePairs();

  const Sources& sources_;
  int source_;
  std::vector<std::string_view> lines_;
  std::vector<Spot> pairs_;  // of escaped surrogates, in the order of the text
};

// Reports the first of each kind of character or line that YAML cannot or should not hold. True when there is
// none.
bool CheckYamlText(const Sources& sources, int source, const YamlLimits& limits, Diagnostics& diagnostics);

// The characters refused in text, raw or written as an escape: those that SafeText escapes, save the
// joiners that Persian and Indic scripts need.
bool IsRefusedInYaml(char32_t code_point);

}  // namespace gearwhy
