#include "cli/case_file.h"

#include <fmt/format.h>

#include <filesystem>

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
    if (!ChangeCase(expected, change, session_.book().words)) {
      *why = "the case does not say so";
      return false;
    }
    text = *changed;
  }
  return Take(text, &expected, why);
}

bool CaseFile::Restore(const std::string& text, std::string* why) { return Take(text, nullptr, why); }

CaseFile::Saving CaseFile::Save(std::string* why) {
  if (IsSaved()) return Saving::kDone;
  if (exists_ && !overrule_) {
    Sources now;
    Diagnostics diagnostics;
    const auto source = ReadSource(path_, path_, kMaxCaseBytes, now, diagnostics);
    if (source && now.Text(*source) != on_disk_) {
      *why = fmt::format("{} was changed by another hand meanwhile", InTicks(path_, 200));
      return Saving::kChangedElsewhere;
    }
  }
  const bool is_new = !exists_ && !overrule_;
  if (!WriteFile(path_, text_, is_new ? WriteMode::kNew : WriteMode::kReplace, why)) return Saving::kFailed;
  on_disk_ = text_;
  exists_ = true;
  overrule_ = false;
  return Saving::kDone;
}

bool CaseFile::TakeFromDisk() { return Read(path_); }

}  // namespace gearwhy
