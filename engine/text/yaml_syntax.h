// The parser library's complaints in our own words, at the place where the slip was made. Inside engine/text
// only.
//
// The library says where it gave up, often a line below the slip. Each complaint is looked at with the text
// around it and the collections open at the time.
#pragma once

#include <optional>
#include <string>

#include "engine/text/diagnostic.h"
#include "engine/text/yaml_text.h"

namespace gearwhy {

// Where the parser stood.
struct ParserState {
  Spot behind_last;          // behind the last key or value that was understood
  std::optional<Spot> open;  // the innermost open `[` or `{`
  int block_indent = -1;     // column of the innermost open block list or map; -1 outside all
};

void ExplainSyntaxError(const std::string& library_message, Spot spot, const ParserState& state,
                        const YamlText& text, Diagnostics& diagnostics);

// For text behind the end of the document: a second document, or a line that fits nowhere.
void ExplainLeftover(Spot spot, const YamlText& text, Diagnostics& diagnostics);

// A list or a map where a key belongs, which is also what the library makes of a bracket that is never
// closed.
void ExplainCollectionAsKey(Spot start, const YamlText& text, Diagnostics& diagnostics);

// The end of a quoted text is missing.
void ReportUnclosedQuote(Spot open, const YamlText& text, Diagnostics& diagnostics);

}  // namespace gearwhy
