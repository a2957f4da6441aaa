#include "cli/case_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

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

bool CaseFile::Read(const std::string& path) {
  Diagnostics diagnostics;
  const auto source = ReadSource(path, path, kMaxCaseBytes, session_.sources(), diagnostics);
  std::optional<Case> c;
  if (source) c = session_.ReadCaseText(*source, fs::path(path).stem().string(), diagnostics);
  session_.Print(diagnostics);
  if (!c) return false;
  path_ = path;
  id_ = c->id;
  text_ = on_disk_ = session_.sources().Text(*source);
  exists_ = true;
  case_ = std::make_shared<const Case>(std::move(*c));
  return true;
}

bool CaseFile::Begin(const std::string& path, const std::string& id, const std::string& title,
                     const std::string& unit, const std::string& variant) {
  path_ = path;
  id_ = id;
  std::string why;
  if (Take(NewCaseText(id, title, unit, variant), nullptr, &why)) return true;
  fmt::print(stderr, "error: {}\n", why);
  return false;
}

bool CaseFile::MoveTo(const std::string& path, std::string* why) {
  const std::string id = CaseIdOf(path);
  const auto text = RenamedCaseText(text_, id, session_.book().words);
  if (id.empty() || !text) {
    *why = "the case cannot be renamed";
    return false;
  }
  Case expected = *case_;
  expected.id = id;
  const std::string old_id = id_;
  id_ = id;
  if (!Take(*text, &expected, why)) {
    id_ = old_id;
    return false;
  }
  path_ = path;
  exists_ = false;
  on_disk_.clear();
  return true;
}

bool CaseFile::Take(const std::string& text, const Case* expected, std::string* why) {
  Diagnostics diagnostics;
  const int source = session_.sources().Add(path_, text);
  auto loaded = session_.ReadCaseText(source, id_, diagnostics);
  if (!loaded) {
    *why = "the case would not load with it:\n" + RenderDiagnostics(diagnostics, session_.sources(), 3);
    return false;
  }
  if (expected != nullptr && !SameCase(*loaded, *expected)) {
    *why = "the file is laid out in a way that this could not be put into safely; please put it in by hand";
    return false;
  }
  text_ = text;
  case_ = std::make_shared<const Case>(std::move(*loaded));
  return true;
}

bool CaseFile::Change(const std::vector<CaseChange>& changes, std::string* why) {
  Case expected = *case_;
  std::string text = text_;
  for (const CaseChange& change : changes) {
    const auto changed = ChangeCaseText(text, change, session_.book().words, why);
    if (!changed) return false;
    if (!ChangeCase(expected, change)) {
      *why = "the case does not say so";
      return false;
    }
    text = *changed;
  }
  const std::string text_before = text_;
  if (!Take(text, &expected, why)) return false;
  steps_.push_back({text_before, changes});
  unsaved_.insert(unsaved_.end(), changes.begin(), changes.end());
  return true;
}

bool CaseFile::Restore(const std::string& text, std::string* why) {
  if (!Take(text, nullptr, why)) return false;
  auto first = steps_.end();
  while (first != steps_.begin()) {
    --first;
    if (first->text_before == text) break;
  }
  for (auto step = steps_.end(); step != first;) {
    --step;
    for (auto change = step->changes.rbegin(); change != step->changes.rend(); ++change) {
      if (!unsaved_.empty() && unsaved_.back() == *change) {
        unsaved_.pop_back();
      } else {
        unsaved_.push_back(Reversed(*change));
      }
    }
  }
  steps_.erase(first, steps_.end());
  return true;
}

bool CaseFile::Join(std::string* why) {
  Sources& sources = session_.sources();
  Diagnostics diagnostics;
  const auto source = ReadSource(path_, path_, kMaxCaseBytes, sources, diagnostics);
  std::optional<Case> theirs;
  if (source) theirs = session_.ReadCaseText(*source, id_, diagnostics);
  if (!theirs) {
    *why = "it cannot be read as it is now";
    return false;
  }
  const std::string their_text = sources.Text(*source);
  std::string text = their_text;
  for (const CaseChange& change : unsaved_) {
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
  std::string reason;
  if (!Take(text, &*theirs, &reason)) {
    *why = "it says something else already where they belong";
    return false;
  }
  on_disk_ = their_text;
  steps_.clear();
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

CaseFile::Saving CaseFile::Save(std::string* told) {
  if (IsSaved()) {
    unsaved_.clear();
    return Saving::kDone;
  }
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
      return Saving::kFailed;
    }
    if (replaced == Replaced::kDone) {
      on_disk_ = text_;
      exists_ = true;
      unsaved_.clear();
      return saving;
    }
    if (exists_ && Join(&why)) {
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
      return Saving::kFailed;
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
  return Saving::kFailed;
}

}  // namespace gearwhy
