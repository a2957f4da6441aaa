// Case file: the case of an interview, in memory and on the disk.
//
// Every change is made to the text of the file (model/case_text.h), the new text is loaded, and taken only
// when it says just what the case should say now. Saving is whole or not at all (text/write_file.h).
//
// When another hand has changed the file meanwhile, nothing of either is lost: the changes made here since
// the last saving are made to the text as it stands now. Where they do not fit it (the contrary was answered,
// the file no longer loads), the case is kept in a new file beside it, whose name is told.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "cli/session.h"
#include "engine/files/case_text.h"

namespace gearwhy {

class CaseFile {
 public:
  explicit CaseFile(Session& session) : session_(session) {}

  // Reads a case file. On errors prints them and returns false.
  bool Read(const std::string& path);
  // A case that is kept at the path, which is not there yet, once it is saved.
  bool Begin(const std::string& path, const std::string& id, const std::string& title,
             const std::string& unit, const std::string& variant);
  // From now on kept at another path, which must not be there yet.
  bool MoveTo(const std::string& path, std::string* why);

  const std::shared_ptr<const Case>& c() const { return case_; }
  const std::string& path() const { return path_; }
  const std::string& text() const { return text_; }
  bool IsSaved() const { return on_disk_ == text_ && exists_; }

  // All of the changes or none.
  bool Change(const std::vector<CaseChange>& changes, std::string* why);
  // Back to a text that this case had before.
  bool Restore(const std::string& text, std::string* why);

  // kJoined: what another hand has changed was taken in; texts from before are of no use for Restore.
  // kBeside: kept at a new path from now on. `told` says what happened, kFailed: why not, in whole clauses.
  enum class Saving { kDone, kFailed, kJoined, kBeside };
  Saving Save(std::string* told);

 private:
  struct Step {
    std::string text_before;
    std::vector<CaseChange> changes;
  };

  bool Take(const std::string& text, const Case* expected, std::string* why);
  // The case as the file has it now, with the unsaved changes made to it.
  bool Join(std::string* why);
  // From now on kept beside the path, in a file that is not there yet.
  bool MoveBeside(const std::filesystem::path& path, std::string* why);

  Session& session_;
  std::string path_, id_, text_;
  std::string on_disk_;  // as read or written last
  bool exists_ = false;
  std::shared_ptr<const Case> case_;
  std::vector<Step> steps_;          // taken in this session, to know what Restore takes back
  std::vector<CaseChange> unsaved_;  // in their order, what was taken back with its reverse
};

// The id of a case kept at this path: its stem. Empty when it would be no name.
std::string CaseIdOf(const std::string& path);

}  // namespace gearwhy
