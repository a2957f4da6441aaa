#include "cli/screen.h"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <limits>

namespace gearwhy {
namespace {

constexpr int kFewestRows = 8;
constexpr int kUsualRows = 24;

// Lines of the window; through a pipe there is room for all.
int Rows() {
  if (isatty(STDOUT_FILENO) == 0 || isatty(STDIN_FILENO) == 0) return std::numeric_limits<int>::max();
  winsize size{};
  if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_row == 0) return kUsualRows;
  return std::max<int>(size.ws_row, kFewestRows);
}

}  // namespace

bool Screen::WouldHide(const std::string& told) const { return below_question_ + LinesOf(told) + 1 > Rows(); }

std::optional<ReadEnd> Screen::Turn(const std::string& text, int room, std::optional<std::string>* typed) {
  const int rows = Rows();
  std::size_t from = 0;
  int left = LinesOf(text);
  while (left > rows - room) {
    // Either a whole page, or what is left, which leaves no room for what follows.
    std::size_t to = from;
    const int lines = std::min(left, rows - 1);
    for (int i = 0; i < lines; ++i) to = text.find('\n', to) + 1;
    WriteOut(text.substr(from, to - from));
    std::string line;
    const ReadEnd end = reader_.Read("Enter to read on > ", &line);
    if (end != ReadEnd::kLine) return end;
    if (!line.empty()) {
      *typed = line;
      return std::nullopt;
    }
    from = to;
    left -= lines;
  }
  WriteOut(text.substr(from));
  return std::nullopt;
}

std::optional<ReadEnd> Screen::Ask(const std::string& before, const std::string& question,
                                   std::optional<std::string>* typed) {
  const int rows = Rows();
  const int lines = LinesOf(question);
  below_question_ = std::min(lines, rows - 1) + 1;
  if (!before.empty()) {
    const auto end = Turn(before, std::min(lines + 1, rows - 1), typed);
    if (end || *typed) return end;
  }
  return Turn(question, 1, typed);
}

std::optional<ReadEnd> Screen::Tell(const std::string& told, std::optional<std::string>* typed) {
  const auto end = Turn(told, 1, typed);
  below_question_ += LinesOf(told) + 1;
  return end;
}

}  // namespace gearwhy
