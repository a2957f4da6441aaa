#include "cli/terminal.h"

#include <fmt/format.h>
#include <langinfo.h>
#include <locale.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string_view>

#include "cli/session.h"
#include "engine/text/ascii.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

int g_write_error = 0;  // errno of the first write to stdout that failed
Emphasis g_emphasis = Emphasis::kAuto;

constexpr int kNarrowest = 40, kWidest = 100;  // columns

// Empty where it is not set.
std::string_view Variable(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? "" : value;
}

bool IsUtf8(std::string_view codeset) {
  const std::string name = Lower(codeset);
  return name == "utf-8" || name == "utf8";
}

// The locale is only looked at: nothing in the program goes by it.
bool LocaleIsUtf8() {
  if (const locale_t locale = ::newlocale(LC_CTYPE_MASK, "", nullptr); locale != nullptr) {
    const bool is_utf8 = IsUtf8(::nl_langinfo_l(CODESET, locale));
    ::freelocale(locale);
    return is_utf8;
  }
  // A locale that this machine does not have, as of somebody who has come from another one.
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    std::string_view value = Variable(name);
    if (value.empty()) continue;
    value = value.substr(0, value.find('@'));
    const auto dot = value.find('.');
    return dot != std::string_view::npos && IsUtf8(value.substr(dot + 1));
  }
  return false;
}

bool WantsAscii() {
  static const bool wants = !LocaleIsUtf8();
  return wants;
}

bool ShowsEmphasis(bool terminal) {
  if (g_emphasis != Emphasis::kAuto) return g_emphasis == Emphasis::kAlways;
  if (!Variable("NO_COLOR").empty()) return false;
  if (const std::string_view force = Variable("CLICOLOR_FORCE"); !force.empty() && force != "0") return true;
  const std::string_view term = Variable("TERM");
  return terminal && Variable("CLICOLOR") != "0" && !term.empty() && term != "dumb";
}

}  // namespace

void WantEmphasis(Emphasis when) { g_emphasis = when; }

TextStyle StyleOfStdout() {
  TextStyle style;
  const bool terminal = ::isatty(STDOUT_FILENO) != 0;
  style.colour = ShowsEmphasis(terminal);
  style.ascii = WantsAscii();
  winsize size{};
  if (terminal && ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
    style.width = std::clamp<int>(size.ws_col, kNarrowest, kWidest);
  return style;
}

bool WriteOut(const std::string& page) { return WriteData(WantsAscii() ? InAscii(page) : page); }

bool WriteData(const std::string& data) {
  if (g_write_error != 0) return false;
  errno = 0;
  if (std::fwrite(data.data(), 1, data.size(), stdout) != data.size())
    g_write_error = errno != 0 ? errno : EIO;
  return g_write_error == 0;
}

void WriteErr(const std::string& text) {
  const std::string shown = WantsAscii() ? InAscii(text) : text;
  std::fwrite(shown.data(), 1, shown.size(), stderr);
}

bool FlushOut() {
  errno = 0;
  if (std::fflush(stdout) != 0 && g_write_error == 0) g_write_error = errno != 0 ? errno : EIO;
  return g_write_error == 0;
}

int Finish(int exit_code) {
  FlushOut();
  if (g_write_error == 0 || g_write_error == EPIPE) return exit_code;
  WriteErr(fmt::format("error: the result could not be written: {} [cannot-write]\n",
                       std::strerror(g_write_error)));
  return kInternalError;
}

}  // namespace gearwhy
