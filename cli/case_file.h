// Case file: the case of an interview on the disk.
//
// Saving is whole or not at all (text/write_file.h). When another hand has changed the file meanwhile,
// nothing of either is lost: the changes made here since the last saving are made to the text as it stands
// now. Where they do not fit it (the contrary was answered, the file no longer loads), the case is kept in a
// new file beside it, whose name is told.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cli/session.h"
#include "engine/files/case_text.h"

namespace gearwhy {

class CaseFile {
 public:
  explicit CaseFile(Session& session) : session_(session) {}

  // Reads a case file. On errors prints them and returns nothing.
  std::optional<Case> Read(const std::string& path);
  // A case that is kept at the path, which is not there yet, once it is saved.
  // Where nobody has `named` the path, it may be chosen anew (TakeBack).
  void Begin(const std::string& path, bool named = true) {
    path_ = path;
    named_ = named;
  }
  // From now on kept at another path, which must not be there yet.
  bool MoveTo(const std::string& path, std::string* why);

  const std::string& path() const { return path_; }
  const std::string& text() const { return text_; }
  bool IsSaved() const { return on_disk_ == text_ && exists_; }
  // A case by its text, which is named after the file: on errors says what is wrong.
  std::optional<Case> ReadText(const std::string& text, Diagnostics& diagnostics);

  // The case was taken back to before it was begun: the file that was made for it goes, unless another hand
  // has changed it since, and its path is chosen anew unless it was named by Begin or Read before.
  void TakeBack();

  // kJoined: what another hand has changed was taken in; kBeside: kept at a new path from now on, where it
  // bears a new name. After both, text() is what the case says now, and no change to it is left unsaved.
  // `told` says what happened, kFailed: why not, in whole clauses.
  enum class Saving { kDone, kFailed, kJoined, kBeside };
  // The case as it is now, and all changes made to it since it was read, or since it was joined.
  Saving Save(const std::string& text, const std::vector<CaseChange>& changes, std::string* told);

 private:
  // The text as it is now on the disk, with these changes made to it.
  bool Join(const std::vector<CaseChange>& changes, std::string* why);
  // From now on kept beside the path, in a file that is not there yet.
  bool MoveBeside(const std::filesystem::path& path, std::string* why);
  // What is to be done to a text with the changes that are saved, so that it has these instead.
  std::vector<CaseChange> Unsaved(const std::vector<CaseChange>& changes) const;

  Session& session_;
  std::string path_, text_;
  bool named_ = true;
  std::string on_disk_;  // as read or written last
  bool exists_ = false;
  bool made_here_ = false;  // there was no file before the first saving
  std::vector<CaseChange> saved_;
};

// The id of a case kept at this path: its stem. Empty when it would be no name.
std::string CaseIdOf(const std::string& path);

}  // namespace gearwhy
