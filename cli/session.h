// Session: one run of the program over one rulebook: which folders, what was read, and how results leave it.
//
// Everything below this line of the house is silent; here diagnostics go to stderr and results to stdout.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/api/book.h"
#include "engine/render/page.h"

namespace gearwhy {

inline constexpr int kDone = 0;  // exit codes
inline constexpr int kInputErrors = 1;
inline constexpr int kBadCommand = 2;
inline constexpr int kInternalError = 3;

struct BookOptions {
  std::string rules;              // empty: the shipped rulebook
  std::vector<std::string> shop;  // the shop's own folders, each laid over those before it
};

class Session {
 public:
  // Reads the rulebook; on errors prints them and returns nullptr.
  static std::unique_ptr<Session> Open(const BookOptions& options);
  // The same, with what is wrong told to the caller: the session is there all the same, for the texts that
  // were read, but has no book then. `without`: as in load_rulebook.h.
  static std::unique_ptr<Session> Read(const BookOptions& options, Diagnostics& diagnostics,
                                       const std::optional<Place>& without = std::nullopt);
  bool HasBook() const { return book_ != nullptr; }

  const Rulebook& book() const { return book_->rules(); }
  const Book& opened() const { return *book_; }
  Sources& sources() { return sources_; }
  const UnitShelf& shelf() const { return book_->units(); }

  const UnitKnowledge* Know(const std::string& unit, const Place& place, Diagnostics& diagnostics) const {
    return book_->Know(unit, place, diagnostics);
  }
  std::optional<Case> ReadCase(const std::string& path, Diagnostics& diagnostics);
  // `path`: where the text of `source` stands, or will.
  std::optional<Case> ReadCaseText(int source, const std::string& path, Diagnostics& diagnostics);
  std::optional<Diagnosis> DiagnoseCase(const Case& c, const BeliefLimits& limits,
                                        Diagnostics& diagnostics) const {
    return book_->DiagnoseCase(c, limits, diagnostics);
  }
  std::optional<Diagnosis> GroundCase(const Case& c, Diagnostics& diagnostics) const {
    return book_->GroundCase(c, diagnostics);
  }

  void Print(const Diagnostics& diagnostics) const;

 private:
  Session() = default;

  Sources sources_;
  std::unique_ptr<Book> book_;
};

// Where the shipped rules and cases are: beside an installed program, or in the source tree it was built
// from. Empty when there are none.
std::string ShippedFolder(const std::string& name);

// Where a file lies; empty: here.
std::string FolderOf(const std::string& path);

// 80 columns; on a terminal as many as it has, from 40 to 100; colour only on a terminal, and never with
// NO_COLOR.
TextStyle StyleOfStdout();

// Writes results to stdout. False when they did not get there (closed pipe, full disk).
bool WriteOut(const std::string& text);
// Flushes stdout. A closed pipe ends quietly; anything else that kept results from getting there is said on
// stderr.
int Finish(int exit_code);

}  // namespace gearwhy
