// What is wrong with the reader's input, where, and what to do about it.
//
// Every stage that reads input takes a Diagnostics and adds to it; none of them stops at the first error.
// Messages are plain sentences without a trailing full stop; a hint says what to do. Rendering looks like
//
//   rules/words.yaml:12:3: error: there is no slot `rang` in `no_drive`; did you mean `range`? [unknown-slot]
//      12 |   rang: R
//         |   ^^^^
//   rules/words.yaml:4:3: note: `no_drive` is described here
#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <tuple>
#include <vector>

#include "engine/text/source.h"

namespace gearwhy {

enum class Severity { kError, kWarning };

struct Note {
  Place place;  // may be nowhere
  std::string message;
};

struct Diagnostic {
  Severity severity = Severity::kError;
  Place place;
  std::string message;
  std::string code;  // short and stable, for tests and for looking it up: "unknown-key"
  std::vector<Note> notes;
};

// The sink. The same message at the same place is kept once.
class Diagnostics {
 public:
  // The returned reference is for adding notes at once; it is valid until the next call.
  Diagnostic& Error(const Place& place, std::string code, std::string message);
  Diagnostic& Warning(const Place& place, std::string code, std::string message);

  // Takes over all of another's.
  void Append(const Diagnostics& other);

  bool HasErrors() const { return error_count_ > 0; }
  int error_count() const { return error_count_; }
  // Sorted by place (source, line, column), then by order of arrival; duplicates removed.
  std::vector<Diagnostic> Sorted() const;

 private:
  Diagnostic& Add(Severity severity, const Place& place, std::string code, std::string message);

  std::vector<Diagnostic> all_;
  std::map<std::tuple<Place, Severity, std::string>, std::size_t> known_;  // to the index in all_
  int error_count_ = 0;
};

// All diagnostics as text, at most `most` of them and then how many more there are; warnings give way to
// errors. Something nowhere is a bare "error: message [code]". Long lines are cut around the caret. Text from
// files is made harmless for a terminal first (safe_text.h). Carets stand under the right character at any
// display width.
std::string RenderDiagnostics(const Diagnostics& diagnostics, const Sources& sources, int most = 20);

}  // namespace gearwhy
