#include "cli/progress.h"

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <cmath>

#include "cli/terminal.h"
#include "engine/render/page.h"

namespace gearwhy {
namespace {

constexpr std::chrono::milliseconds kBetween(200);

// Of the terminal on stderr; the last stays free, as some terminals break the line behind it.
std::size_t Columns() {
  winsize size{};
  const bool known = ::ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 1;
  return known ? size.ws_col - 1u : 79u;
}

// What is not known is left out.
std::string ProgressText(std::size_t done, std::size_t worked, const std::optional<std::size_t>& total,
                         double seconds) {
  std::string text = total ? fmt::format("{} of {} cases", done, *total) : fmt::format("{} cases", done);
  if (worked == 0 || seconds <= 0) return text;
  const double rate = static_cast<double>(worked) / seconds;
  text += rate < 100 ? fmt::format(", {:.1f} a second", rate) : fmt::format(", {:.0f} a second", rate);
  if (!total || *total <= done) return text;
  const double left = static_cast<double>(*total - done) / rate;
  return text + (left < 90 ? fmt::format(", {:.0f} s left", std::ceil(left))
                           : fmt::format(", {} left", ShowMinutes(left / 60)));
}

}  // namespace

Progress::Progress(bool wanted, std::optional<std::size_t> total)
    : shows_(wanted && ::isatty(STDERR_FILENO) != 0 && ::isatty(STDOUT_FILENO) == 0), total_(total) {}

void Progress::Done(bool worked) {
  ++done_;
  if (worked) ++worked_;
  if (!shows_ || Clock::now() - shown_ < kBetween) return;
  shown_ = Clock::now();
  const std::string text = ProgressText(done_, worked_, total_, seconds()).substr(0, Columns());
  const std::size_t behind = columns_shown_ > text.size() ? columns_shown_ - text.size() : 0;
  WriteErr("\r" + text + std::string(behind, ' '));
  columns_shown_ = text.size();
}

void Progress::Hide() {
  if (columns_shown_ == 0) return;
  WriteErr("\r" + std::string(columns_shown_, ' ') + "\r");
  columns_shown_ = 0;
}

double Progress::seconds() const { return std::chrono::duration<double>(Clock::now() - begun_).count(); }

}  // namespace gearwhy
