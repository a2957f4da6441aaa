// Case text: a change of a case, made to the text of its file.
//
// In: the text of a case file and one change. Out: the text with just the lines of that change inserted,
// removed or replaced; comments, order and layout of everything else stay as the user wrote them. Pure:
// nothing is read or written.
// Method: the strict YAML tree gives the places of keys and items; an item of a block list is its lines,
// from its dash to the next line that is not indented deeper. A list in brackets is written anew, as a
// block of lines (`open` stays in brackets). Where a list is missing it is put behind the key that usually
// stands before it.
// Why it is safe: the caller loads the new text and compares it with the case as it should be (SameCase)
// before anything is written, so that an edit that came out wrong for any reason is refused, not saved.
// Errors: a text that is no block map at the top (`{case: x}`), a change of something that is not there.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/files/edit_case.h"

namespace gearwhy {

// Nothing is returned when the change cannot be made, and `why` is then a whole clause.
std::optional<std::string> ChangeCaseText(std::string_view text, const CaseChange& change, const Words& words,
                                          std::string* why);

// Whether changes can be made to the text: not when its top is written in braces.
bool CanChangeCaseText(std::string_view text, const Words& words);

// The text of a new case file: `case`, `title`, and `note`, `unit` and `variant` when not empty.
std::string NewCaseText(const std::string& id, const std::string& title, const std::string& unit,
                        const std::string& variant, const std::string& version = "",
                        const std::string& note = "");

// The same file under another id. Nothing when `case:` does not stand on a line of its own.
std::optional<std::string> RenamedCaseText(std::string_view text, const std::string& id, const Words& words);

// A statement as it stands in a case file: `no_drive: R`, `line_pressure: {range: R, is: 9 bar}`.
std::string StatementYaml(const Statement& statement, const Words& words,
                          const std::vector<std::string>& written = {});

}  // namespace gearwhy
