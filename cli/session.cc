#include "cli/session.h"

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>

#include "engine/chain/chain.h"
#include "engine/files/load_case.h"
#include "engine/files/load_rulebook.h"
#include "engine/text/read_file.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace fs = std::filesystem;
namespace {

int g_write_error = 0;  // errno of the first write to stdout that failed

struct BookFolder {
  std::string path;
  std::string shown_as;
};

std::string WithoutSlash(std::string path) {
  while (path.size() > 1 && path.back() == '/') path.pop_back();
  return path;
}

// Reads every rulebook file of a folder; its `units` are the shelf's.
void ReadFolder(const BookFolder& folder, Sources& sources, std::vector<int>& read,
                Diagnostics& diagnostics) {
  const std::string units = folder.path + "/units/";
  for (const std::string& path : ListYamlFiles(folder.path, diagnostics)) {
    if (path.starts_with(units)) continue;
    const std::string shown_as = folder.shown_as + path.substr(folder.path.size());
    if (const auto source = ReadSource(path, shown_as, kMaxBookBytes, sources, diagnostics))
      read.push_back(*source);
  }
}

}  // namespace

std::unique_ptr<Session> Session::Open(const BookOptions& options) {
  std::unique_ptr<Session> session(new Session);
  Diagnostics diagnostics;
  std::vector<BookFolder> folders;
  if (!options.rules.empty()) {
    folders.push_back({WithoutSlash(options.rules), WithoutSlash(options.rules)});
  } else if (const std::string shipped = ShippedFolder("rules"); !shipped.empty()) {
    folders.push_back({shipped, "rules"});
  } else {
    diagnostics.Error({}, "no-rulebook",
                      "the shipped rulebook is not where it should be; name a folder with --rules DIR");
  }
  if (!options.shop.empty()) folders.push_back({WithoutSlash(options.shop), WithoutSlash(options.shop)});
  std::vector<int> read;
  std::vector<UnitShelf::Folder> unit_folders;
  for (const BookFolder& folder : folders) {
    ReadFolder(folder, session->sources_, read, diagnostics);
    unit_folders.push_back({folder.path + "/units", folder.shown_as + "/units"});
  }
  if (read.empty() && !diagnostics.HasErrors()) {
    diagnostics.Error({}, "no-rulebook", fmt::format("there is no YAML file in `{}`", folders.front().path));
  }
  if (!diagnostics.HasErrors()) session->book_ = LoadRulebook(read, session->sources_, diagnostics);
  if (session->book_) {
    CheckStrata(session->book_->rules, diagnostics);
    session->shelf_ =
        std::make_unique<UnitShelf>(session->book_->words, unit_folders, session->sources_, diagnostics);
  }
  session->Print(diagnostics);
  return diagnostics.HasErrors() ? nullptr : std::move(session);
}

const UnitKnowledge* Session::Know(const std::string& unit, const Place& place, Diagnostics& diagnostics) {
  const auto known = known_.find(unit);
  if (known != known_.end()) {
    if (!known->second) {
      diagnostics.Error(place, "unit-unusable",
                        fmt::format("the unit `{}` cannot be used: its file has errors", unit));
    }
    return known->second ? &*known->second : nullptr;
  }
  const Unit* found = shelf_->Find(unit, place, diagnostics);
  if (found == nullptr) return nullptr;
  auto& entry = known_[unit];
  entry = KnowUnit(*found, diagnostics);
  return entry ? &*entry : nullptr;
}

std::optional<Case> Session::ReadCase(const std::string& path, Diagnostics& diagnostics) {
  const auto source = ReadSource(path, path, kMaxCaseBytes, sources_, diagnostics);
  if (!source) return std::nullopt;
  return ReadCaseText(*source, fs::path(path).stem().string(), diagnostics);
}

std::optional<Case> Session::ReadCaseText(int source, const std::string& id, Diagnostics& diagnostics) {
  const auto root = ParseYaml(sources_, source, diagnostics);
  if (!root) return std::nullopt;
  const FindUnit find_unit = [&](const std::string& name, const Place& place) {
    return shelf_->Find(name, place, diagnostics);
  };
  std::string case_id = id;
  if (const YamlNode* stated = root->Find("case"); case_id.empty() && stated != nullptr)
    case_id = stated->text;
  return LoadCase(*root, case_id, *book_, find_unit, diagnostics);
}

std::shared_ptr<const Transmission> Session::TransmissionOf(const Case& c, Diagnostics& diagnostics) {
  auto& made = made_[{c.unit, c.variant}];
  if (made != nullptr) return made;
  const UnitKnowledge* known = c.unit.empty() ? nullptr : Know(c.unit, c.unit_place, diagnostics);
  if (!c.unit.empty() && known == nullptr) return nullptr;
  made = MakeTransmission(*book_, known, c.variant, diagnostics);
  return made;
}

std::optional<Diagnosis> Session::DiagnoseCase(const Case& c, const BeliefLimits& limits,
                                               Diagnostics& diagnostics) {
  return Diagnose(TransmissionOf(c, diagnostics), c, limits, diagnostics);
}

void Session::Print(const Diagnostics& diagnostics) const {
  const std::string text = RenderDiagnostics(diagnostics, sources_);
  std::fwrite(text.data(), 1, text.size(), stderr);
}

std::string ShippedFolder(const std::string& name) {
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error);
  if (error) return "";
  const fs::path installed = program.parent_path().parent_path() / "share" / "gearwhy" / name;
  if (fs::is_directory(installed, error)) return installed.string();
  // In a build tree: PROJECT/build/PRESET/cli/gearwhy.
  for (fs::path folder = program.parent_path(); folder != folder.root_path(); folder = folder.parent_path()) {
    if (fs::is_regular_file(folder / "rules" / "README.md", error) &&
        fs::is_directory(folder / name, error)) {
      return (folder / name).string();
    }
  }
  return "";
}

constexpr int kNarrowest = 40;  // columns

TextStyle StyleOfStdout() {
  TextStyle style;
  const char* no_color = std::getenv("NO_COLOR");
  const char* term = std::getenv("TERM");
  const bool dumb = term == nullptr || std::strcmp(term, "dumb") == 0;
  const bool terminal = isatty(STDOUT_FILENO) != 0;
  style.colour = terminal && (no_color == nullptr || *no_color == '\0') && !dumb;
  winsize size{};
  if (terminal && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
    style.width = std::clamp<int>(size.ws_col, kNarrowest, style.width);
  return style;
}

bool WriteOut(const std::string& text) {
  if (g_write_error != 0) return false;
  errno = 0;
  if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size())
    g_write_error = errno != 0 ? errno : EIO;
  return g_write_error == 0;
}

int Finish(int exit_code) {
  errno = 0;
  if (std::fflush(stdout) != 0 && g_write_error == 0) g_write_error = errno != 0 ? errno : EIO;
  if (g_write_error == 0 || g_write_error == EPIPE) return exit_code;
  fmt::print(stderr, "error: the result could not be written: {} [cannot-write]\n",
             std::strerror(g_write_error));
  return kInternalError;
}

}  // namespace gearwhy
