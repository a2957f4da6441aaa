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
#include <fstream>

#include "engine/text/read_file.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace fs = std::filesystem;
namespace {

int g_write_error = 0;  // errno of the first write to stdout that failed

}  // namespace

std::unique_ptr<Session> Session::Open(const BookOptions& options) {
  Diagnostics diagnostics;
  std::unique_ptr<Session> session = Read(options, diagnostics);
  session->Print(diagnostics);
  return session->HasBook() ? std::move(session) : nullptr;
}

std::unique_ptr<Session> Session::Read(const BookOptions& options, Diagnostics& diagnostics,
                                       const std::optional<Place>& without) {
  std::unique_ptr<Session> session(new Session);
  std::vector<BookFolder> folders;
  if (!options.rules.empty()) {
    folders.push_back({options.rules, options.rules});
  } else if (const std::string shipped = ShippedFolder("rules"); !shipped.empty()) {
    folders.push_back({shipped, "rules"});
  } else {
    diagnostics.Error({}, "no-rulebook",
                      "the shipped rulebook is not where it should be; name a folder with --rules DIR");
  }
  for (const std::string& shop : options.shop) folders.push_back({shop, shop});
  if (!diagnostics.HasErrors()) session->book_ = Book::Open(folders, session->sources_, diagnostics, without);
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
  const std::string text = RenderDiagnostics(diagnostics, sources_);
  std::fwrite(text.data(), 1, text.size(), stderr);
}

std::string ShippedFolder(const std::string& name) {
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error);
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

constexpr int kNarrowest = 40, kWidest = 100;  // columns

TextStyle StyleOfStdout() {
  TextStyle style;
  const char* no_color = std::getenv("NO_COLOR");
  const char* term = std::getenv("TERM");
  const bool dumb = term == nullptr || std::strcmp(term, "dumb") == 0;
  const bool terminal = isatty(STDOUT_FILENO) != 0;
  style.colour = terminal && (no_color == nullptr || *no_color == '\0') && !dumb;
  winsize size{};
  if (terminal && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
    style.width = std::clamp<int>(size.ws_col, kNarrowest, kWidest);
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
