#include "engine/text/yaml_syntax.h"

#include <fmt/format.h>
#include <yaml-cpp/exceptions.h>

#include <algorithm>
#include <cstddef>
#include <string_view>

#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

bool IsColon(std::string_view line, std::size_t at) {
  return line[at] == ':' && (at + 1 == line.size() || line[at + 1] == ' ' || line[at + 1] == '\t');
}

// The first colon that ends a key, before `until`.
std::size_t FindColon(std::string_view line, std::size_t until) {
  for (std::size_t at = 0; at < line.size() && at < until; ++at) {
    if (IsColon(line, at)) return at;
  }
  return std::string_view::npos;
}

void ReportMissingSpace(Spot colon, const YamlText& text, Diagnostics& diagnostics) {
  diagnostics.Error(text.ToPlace(colon), "missing-space", "a space is missing behind this colon");
}

// True when the last visible character before the spot ends a quoted text or a bracket.
bool IsBehindAnEnd(Spot spot, const YamlText& text) {
  const std::string_view before =
      text.Line(spot.line).substr(0, static_cast<std::size_t>(std::max(spot.column, 0)));
  const std::size_t last = before.find_last_not_of(" \t");
  return last != std::string_view::npos &&
         std::string_view("\"']}").find(before[last]) != std::string_view::npos;
}

void ExplainMisfit(Spot spot, const YamlText& text, Diagnostics& diagnostics) {
  if (text.At(spot) == ':') {
    ReportMissingSpace(spot, text, diagnostics);
  } else if (IsBehindAnEnd(spot, text)) {
    diagnostics.Error(text.ToPlace(spot), "text-behind-end",
                      "nothing can follow the closing quote or bracket here; put the whole value in quotes");
  } else {
    diagnostics.Error(
        text.ToPlace(spot), "indentation",
        "this line does not fit the lines above it; check its indentation and whether a colon is missing");
  }
}

void ReportSecondColon(Spot colon, const YamlText& text, Diagnostics& diagnostics) {
  diagnostics.Error(text.ToPlace(colon), "unquoted-colon",
                    "a second colon with a space behind it stands in this line; put the value in quotes");
}

// A colon where no key can stand. Nearly always the slip is earlier in the line or in the line above.
void ExplainColon(Spot spot, const YamlText& text, Diagnostics& diagnostics) {
  const std::string_view line = text.Line(spot.line);
  if (FindColon(line, static_cast<std::size_t>(spot.column)) != std::string_view::npos) {
    return ReportSecondColon(spot, text, diagnostics);
  }
  const int above = text.LineBefore(spot.line);
  const std::string_view upper = text.Line(above);
  const std::size_t colon = upper.find(':');
  if (above >= 0 && colon == std::string_view::npos) {
    const int indent = text.Indent(above);
    diagnostics.Error(text.ToPlace({above, indent}, static_cast<int>(upper.size()) - indent), "missing-colon",
                      "a colon is missing in this line, or the line below is indented wrongly");
  } else if (above >= 0 && !IsColon(upper, colon) && upper[colon + 1] != '/') {
    ReportMissingSpace({above, static_cast<int>(colon)}, text, diagnostics);
  } else if (above >= 0 && text.Indent(spot.line) > text.Indent(above)) {
    diagnostics.Error(text.ToPlace({spot.line, text.Indent(spot.line)}), "indentation",
                      "this line is indented deeper than the line above, which already has a value");
  } else {
    diagnostics.Error(text.ToPlace(spot), "unquoted-colon",
                      "this colon cannot stand here; put the value in quotes or check the lines above");
  }
}

void ReportUnclosedBracket(Spot open, const YamlText& text, Diagnostics& diagnostics) {
  diagnostics.Error(text.ToPlace(open), "unclosed-bracket",
                    text.At(open) == '[' ? "this `[` is never closed; add the `]`"
                                         : "this `{` is never closed; add the `}`");
}

// Inside `[` or `{`: either the end is missing or something between two items.
void ExplainFlow(Spot spot, const ParserState& state, const YamlText& text, Diagnostics& diagnostics) {
  if (!state.open) return ExplainMisfit(spot, text, diagnostics);
  const bool line_is_outside = spot.line > state.open->line && text.Indent(spot.line) <= state.block_indent;
  if (text.IsBehindTheEnd(spot) || line_is_outside) {
    return ReportUnclosedBracket(*state.open, text, diagnostics);
  }
  if (text.At(spot) == ':') return ReportSecondColon(spot, text, diagnostics);
  const bool is_list = text.At(*state.open) == '[';
  Diagnostic& error =
      diagnostics.Error(text.ToPlace(spot), "missing-comma",
                        fmt::format("a comma or {} is missing before this", is_list ? "`]`" : "`}`"));
  error.notes.push_back(
      {text.ToPlace(*state.open), fmt::format("{} is opened here", is_list ? "`[`" : "`{`")});
}

}  // namespace

void ExplainCollectionAsKey(Spot start, const YamlText& text, Diagnostics& diagnostics) {
  const bool is_bracket = text.At(start) == '[' || text.At(start) == '{';
  const std::optional<Spot> unclosed = is_bracket ? text.UnclosedBracket(start) : std::nullopt;
  if (unclosed) return ReportUnclosedBracket(*unclosed, text, diagnostics);
  diagnostics.Error(text.ToPlace(start), "key-not-text",
                    "a key must be a single value, not a list or a map; put the text in quotes");
}

void ReportUnclosedQuote(Spot open, const YamlText& text, Diagnostics& diagnostics) {
  diagnostics.Error(
      text.ToPlace(open), "unclosed-quote",
      "this quote is never closed, or its text goes on in lines that are not indented under it");
}

void ExplainLeftover(Spot spot, const YamlText& text, Diagnostics& diagnostics) {
  const std::string_view line = text.Line(spot.line);
  if (spot.column == 0 && line.starts_with("---")) {
    diagnostics.Error(text.ToPlace(spot, 3), "second-document",
                      "a file holds one document; delete this line or make a second file");
  } else {
    ExplainMisfit(spot, text, diagnostics);
  }
}

void ExplainSyntaxError(const std::string& message, Spot spot, const ParserState& state, const YamlText& text,
                        Diagnostics& diagnostics) {
  namespace msg = YAML::ErrorMsg;
  const auto is = [&](std::string_view known) { return message.starts_with(known); };
  const Place place = text.ToPlace(spot);

  if (is(msg::MAP_VALUE)) return ExplainColon(spot, text, diagnostics);
  if (is(msg::END_OF_MAP_FLOW) || is(msg::END_OF_SEQ_FLOW))
    return ExplainFlow(spot, state, text, diagnostics);
  if (is(msg::END_OF_MAP) || is(msg::END_OF_SEQ)) return ExplainMisfit(spot, text, diagnostics);
  if (is(msg::DOC_IN_SCALAR) || is(msg::EOF_IN_SCALAR)) {
    return ReportUnclosedQuote(text.FindOutsideComments(state.behind_last, "\"'"), text, diagnostics);
  }
  if (is(msg::BLOCK_ENTRY)) {
    diagnostics.Error(place, "misplaced-dash",
                      "a list cannot start here; put the dash on a line of its own, or the text in quotes");
  } else if (is(msg::FLOW_END)) {
    diagnostics.Error(place, "unopened-bracket",
                      "this bracket closes nothing; delete it or put the text in quotes");
  } else if (is(msg::UNKNOWN_TOKEN)) {
    diagnostics.Error(
        place, "needs-quotes",
        fmt::format("a value cannot start with {}; put it in quotes",
                    InTicks(text.Line(spot.line).substr(static_cast<std::size_t>(spot.column), 1))));
  } else if (is(msg::INVALID_ESCAPE) || is(msg::INVALID_HEX) || is(msg::INVALID_UNICODE)) {
    diagnostics.Error(place, "bad-escape",
                      "this is no known escape; write `\\\\` for a backslash, or use single quotes");
  } else if (is(msg::CHAR_IN_BLOCK) || is(msg::ZERO_INDENT_IN_BLOCK)) {
    diagnostics.Error(
        place, "block-header",
        "only `-`, `+` or an indentation from 1 to 9 can follow `|` or `>`; put the text on the next line");
  } else if (is(msg::UNKNOWN_ANCHOR) || is(msg::ALIAS_NOT_FOUND) || is(msg::CHAR_IN_ALIAS) ||
             is(msg::ALIAS_CONTENT)) {
    diagnostics.Error(place, "alias",
                      "aliases (`*`) are not allowed; put the text in quotes or write the value out");
  } else if (is(msg::ANCHOR_NOT_FOUND) || is(msg::CHAR_IN_ANCHOR) || is(msg::MULTIPLE_ANCHORS)) {
    diagnostics.Error(place, "anchor", "anchors (`&`) are not allowed; put the text in quotes");
  } else if (is(msg::TAG_WITH_NO_SUFFIX) || is(msg::END_OF_VERBATIM_TAG) || is(msg::CHAR_IN_TAG_HANDLE) ||
             is(msg::MULTIPLE_TAGS)) {
    diagnostics.Error(place, "tag", "tags (`!`) are not allowed; put the text in quotes");
  } else if (is(msg::MAP_KEY)) {
    diagnostics.Error(place, "misplaced-key", "a key cannot start here; put it on a line of its own");
  } else {
    diagnostics.Error(place, "syntax",
                      "this is not valid YAML; check quotes, colons and indentation here and above");
  }
}

}  // namespace gearwhy
