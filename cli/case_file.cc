#include "cli/case_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <utility>

#include "engine/render/say.h"
#include "engine/text/fields.h"
#include "engine/text/read_file.h"
#include "engine/text/safe_text.h"
#include "engine/text/write_file.h"

namespace gearwhy {
namespace fs = std::filesystem;

std::string CaseIdOf(const std::string& path) {
  const std::string id = fs::path(path).stem().string();
  return IsName(id) ? id : "";
}

std::optional<Case> CaseFile::Read(const std::string& path) {
  Diagnostics diagnostics;
  const auto source = ReadSource(path, path, kMaxCaseBytes, session_.sources(), diagnostics);
  std::optional<Case> c;
  if (source) c = session_.ReadCaseText(*source, path, diagnostics);
  session_.Print(diagnostics);
  if (!c) return std::nullopt;
  path_ = path;
  text_ = on_disk_ = session_.sources().Text(*source);
  exists_ = true;
  return c;
}

std::optional<Case> CaseFile::ReadText(const std::string& text, Diagnostics& diagnostics) {
  return session_.ReadCaseText(session_.sources().Add(path_, text), path_, diagnostics);
}

void CaseFile::TakeBack() {
  if (text_.empty()) return;
  std::error_code error;
  Sources read;
  Diagnostics ignored;
  const auto source = ReadSource(path_, path_, kMaxCaseBytes, read, ignored);
  if (made_here_ && source && read.Text(*source) == on_disk_) fs::remove(path_, error);
  text_.clear();
  on_disk_.clear();
  saved_.clear();
  exists_ = made_here_ = false;
  if (!named_) path_.clear();
}

bool CaseFile::MoveTo(const std::string& path, std::string* why) {
  Diagnostics diagnostics;
  const std::string id = CaseIdOf(path);
  const auto text = RenamedCaseText(text_, id, session_.book().words);
  auto expected = ReadText(text_, diagnostics);
  if (id.empty() || !text || !expected) {
    *why = "the case cannot be renamed";
    return false;
  }
  const std::string old_path = std::exchange(path_, path);
  const auto renamed = ReadText(*text, diagnostics);
  expected->id = id;
  if (!renamed || !SameCase(*renamed, *expected)) {
    path_ = old_path;
    *why = "the file is laid out in a way that it could not be renamed safely";
    return false;
  }
  text_ = *text;
  exists_ = false;
  on_disk_.clear();
  return true;
}

std::vector<CaseChange> CaseFile::Unsaved(const std::vector<CaseChange>& changes) const {
  const auto [saved, made] = std::mismatch(saved_.begin(), saved_.end(), changes.begin(), changes.end());
  std::vector<CaseChange> unsaved;
  for (auto taken_back = saved_.end(); taken_back != saved;) unsaved.push_back(Reversed(*--taken_back));
  unsaved.insert(unsaved.end(), made, changes.end());
  return unsaved;
}

bool CaseFile::Join(const std::vector<CaseChange>& changes, std::string* why) {
  Sources& sources = session_.sources();
  Diagnostics diagnostics;
  const auto source = ReadSource(path_, path_, kMaxCaseBytes, sources, diagnostics);
  std::optional<Case> theirs;
  if (source) theirs = session_.ReadCaseText(*source, path_, diagnostics);
  if (!theirs) {
    *why = "it cannot be read as it is now";
    return false;
  }
  const std::string their_text = sources.Text(*source);
  std::string text = their_text;
  for (const CaseChange& change : changes) {
    const Standpoint standpoint = StandpointOf(*theirs, change);
    if (standpoint == Standpoint::kSaysSo) continue;
    if (standpoint == Standpoint::kContrary) {
      const UnitKnowledge* known =
          theirs->unit.empty() ? nullptr : session_.Know(theirs->unit, {}, diagnostics);
      const Unit* unit = known == nullptr ? nullptr : known->unit;
      *why = fmt::format("it says the contrary of: {}",
                         Speaker(session_.book().words, unit, sources).Say(change.statement, change.present));
      return false;
    }
    const auto changed = ChangeCaseText(text, change, session_.book().words, why);
    if (!changed || !ChangeCase(*theirs, change)) return false;
    text = *changed;
  }
  const auto joined = ReadText(text, diagnostics);
  if (!joined || !SameCase(*joined, *theirs)) {
    *why = "it says something else already where they belong";
    return false;
  }
  text_ = text;
  on_disk_ = their_text;
  return true;
}

bool CaseFile::MoveBeside(const fs::path& path, std::string* why) {
  std::error_code error;
  for (int n = 2; n < 1000; ++n) {
    const std::string name = fmt::format("{}-{}{}", path.stem().string(), n, path.extension().string());
    const fs::path beside = path.parent_path() / name;
    if (fs::symlink_status(beside, error).type() == fs::file_type::not_found)
      return MoveTo(beside.string(), why);
  }
  *why = "there are too many files of that name";
  return false;
}

CaseFile::Saving CaseFile::Save(const std::string& now, const std::vector<CaseChange>& changes,
                                std::string* told) {
  text_ = now;
  const std::vector<CaseChange> unsaved = Unsaved(changes);
  // What is not saved is tried again from here, so that what another hand has written is met with again.
  const auto fail = [&, path = path_, on_disk = on_disk_, exists = exists_] {
    text_ = now;
    path_ = path;
    on_disk_ = on_disk;
    exists_ = exists;
    return Saving::kFailed;
  };
  Saving saving = Saving::kDone;
  const std::string first_path = path_;
  const bool was_there = exists_;
  std::string why_beside;
  // Each round that does not end here has met with another hand's saving in between.
  for (int round = 0; round < 100; ++round) {
    std::string why;
    const auto before = exists_ ? std::optional(on_disk_) : std::nullopt;
    const Replaced replaced = ReplaceText(path_, before, text_, &why);
    if (replaced == Replaced::kFailed) {
      *told = why;
      return fail();
    }
    if (replaced == Replaced::kDone) {
      on_disk_ = text_;
      made_here_ |= !exists_;
      exists_ = true;
      saved_ = saving == Saving::kDone ? changes : std::vector<CaseChange>{};
      return saving;
    }
    if (exists_ && Join(unsaved, &why)) {
      saving = Saving::kJoined;
      *told = fmt::format(
          "{} was changed by another hand meanwhile; what it says now is taken in here, and the "
          "answers given here are put in with it",
          InTicks(path_, 200));
      continue;
    }
    if (saving != Saving::kBeside) why_beside = why;
    if (!MoveBeside(first_path, &why)) {
      *told = fmt::format("{} was changed by another hand meanwhile, and {}", InTicks(path_, 200), why);
      return fail();
    }
    saving = Saving::kBeside;
    *told = was_there ? fmt::format(
                            "{} was changed by another hand meanwhile, and the answers given here cannot be "
                            "put in with it: {}; it is left as it is now, and this case is kept in {} from "
                            "now on",
                            InTicks(first_path, 200), why_beside, InTicks(path_, 200))
                      : fmt::format("another hand has made {} meanwhile; this case is kept in {}",
                                    InTicks(first_path, 200), InTicks(path_, 200));
  }
  *told = fmt::format("{} is changed by another hand all the time", InTicks(path_, 200));
  return fail();
}

}  // namespace gearwhy
