// Session: one run of the program over one rulebook: which folders, and what was read.
//
// Everything below this line of the house is silent; here diagnostics go to stderr and results to stdout
// (terminal.h).
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/terminal.h"
#include "engine/api/book.h"

namespace gearwhy {

inline constexpr int kDone = 0;  // exit codes
inline constexpr int kInputErrors = 1;
inline constexpr int kBadCommand = 2;
inline constexpr int kInternalError = 3;

struct BookOptions {
  std::string rules;              // empty: the shipped rulebook
  std::vector<std::string> shop;  // the shop's own folders, each laid over those before it
  std::string cache_folder = "";  // where what was read is kept for the next run (api/book.h); empty: nowhere
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

// The folders of the rulebook that these mean, each with the name it is shown by; none where there is no
// shipped one and none is named.
std::vector<BookFolder> FoldersOf(const BookOptions& options);

// What `sha256sum` says of what it says of all these files, each named from its folder on, wherever that
// lies.
std::string HashOf(const std::vector<BookFolder>& folders, Diagnostics& diagnostics);

// Where the shipped rules and cases are: beside an installed program, or in the source tree it was built
// from. Empty when there are none.
std::string ShippedFolder(const std::string& name);

// Where a file lies; empty: here.
std::string FolderOf(const std::string& path);

}  // namespace gearwhy
