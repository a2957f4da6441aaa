#include "cli/session.h"

#include <fmt/format.h>
#include <sys/auxv.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "engine/text/read_file.h"
#include "engine/text/sha256.h"

namespace gearwhy {
namespace fs = std::filesystem;

std::unique_ptr<Session> Session::Open(const BookOptions& options) {
  Diagnostics diagnostics;
  std::unique_ptr<Session> session = Read(options, diagnostics);
  session->Print(diagnostics);
  return session->HasBook() ? std::move(session) : nullptr;
}

std::unique_ptr<Session> Session::Read(const BookOptions& options, Diagnostics& diagnostics,
                                       const std::optional<Place>& without) {
  std::unique_ptr<Session> session(new Session);
  const std::vector<BookFolder> folders = FoldersOf(options);
  if (folders.empty()) {
    diagnostics.Error({}, "no-rulebook",
                      "the shipped rulebook is not where it should be; name a folder with --rules DIR");
  }
  if (!diagnostics.HasErrors())
    session->book_ = Book::Open(folders, session->sources_, diagnostics, without, options.cache_folder);
  return session;
}

std::optional<Case> Session::ReadCase(const std::string& path, Diagnostics& diagnostics) {
  const auto source = ReadSource(path, path, kMaxCaseBytes, sources_, diagnostics);
  if (!source) return std::nullopt;
  return ReadCaseText(*source, path, diagnostics);
}

std::optional<Case> Session::ReadCaseText(int source, const std::string& path, Diagnostics& diagnostics) {
  return book_->ReadCase(sources_, source, fs::path(path).stem().string(), FolderOf(path), diagnostics);
}

std::string FolderOf(const std::string& path) { return fs::path(path).parent_path().string(); }

void Session::Print(const Diagnostics& diagnostics) const {
  WriteErr(RenderDiagnostics(diagnostics, sources_));
}

std::vector<BookFolder> FoldersOf(const BookOptions& options) {
  std::vector<BookFolder> folders;
  if (!options.rules.empty()) {
    folders.push_back({options.rules, options.rules});
  } else if (const std::string shipped = ShippedFolder("rules"); !shipped.empty()) {
    folders.push_back({shipped, "rules"});
  } else {
    return folders;
  }
  for (const std::string& shop : options.shop) folders.push_back({shop, shop});
  return folders;
}

std::string HashOf(const std::vector<BookFolder>& folders, Diagnostics& diagnostics) {
  std::string all;
  for (const BookFolder& folder : folders) {
    const std::string top = folder.path.substr(0, folder.path.find_last_not_of('/') + 1);
    std::vector<std::string> paths = ListYamlFiles(top, diagnostics);
    std::sort(paths.begin(), paths.end());
    for (const std::string& path : paths) {
      const std::string name = path.substr(top.rfind('/') + 1);
      const auto text = ReadText(path, name, kMaxBookBytes, diagnostics);
      if (text) all += fmt::format("{}  {}\n", Sha256Hex(*text), name);
    }
  }
  return Sha256Hex(all);
}

std::string ShippedFolder(const std::string& name) {
  std::error_code error;
  fs::path program = fs::read_symlink("/proc/self/exe", error);
  // Without /proc, as in a bare root, what it was started as.
  if (error) program = fs::canonical(reinterpret_cast<const char*>(::getauxval(AT_EXECFN)), error);
  if (error) return "";
  const fs::path installed = program.parent_path().parent_path() / "share" / "gearwhy" / name;
  if (fs::is_directory(installed, error)) return installed.string();
  // In a build folder, wherever that is, the build has noted where the sources are (cli/CMakeLists.txt).
  std::ifstream note(program.parent_path() / "gearwhy.sources");
  std::string sources;
  if (std::getline(note, sources) && fs::is_directory(fs::path(sources) / name, error))
    return (fs::path(sources) / name).string();
  return "";
}

}  // namespace gearwhy
