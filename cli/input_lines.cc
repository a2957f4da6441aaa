#include "cli/input_lines.h"

#include <poll.h>
#include <unistd.h>

#include <cerrno>
#include <optional>

#include "engine/text/fields.h"
#include "engine/text/read_file.h"

namespace gearwhy {

bool InputLines::Next(std::string& line) {
  line.clear();
  for (;;) {
    const std::size_t end = buffer_.find('\n', at_);
    const std::size_t length = (end == std::string::npos ? buffer_.size() : end) - at_;
    if (line.size() <= kMaxCaseBytes) line.append(buffer_, at_, length);
    if (end != std::string::npos) {
      at_ = end + 1;
      ++number_;
      return true;
    }
    buffer_.clear();
    at_ = 0;
    if (Fill()) continue;
    if (error_ != 0 || stop_.Came() || line.empty()) return false;
    ++number_;  // the last line has no end
    return true;
  }
}

// More of the input. It is waited for together with the signal, so that neither keeps the other waiting.
bool InputLines::Fill() {
  constexpr std::size_t kBytes = 1 << 16;
  while (!ended_) {
    pollfd waiting[] = {{STDIN_FILENO, POLLIN, 0}, {stop_.waker(), POLLIN, 0}};
    if (::poll(waiting, 2, -1) < 0 && errno != EINTR) error_ = errno;
    if (error_ != 0 || stop_.Came()) return false;
    if (waiting[0].revents == 0) continue;
    buffer_.resize(kBytes);
    const ssize_t n = ::read(STDIN_FILENO, buffer_.data(), kBytes);
    buffer_.resize(n > 0 ? static_cast<std::size_t>(n) : 0);
    if (n > 0) return true;
    if (n < 0 && (errno == EINTR || errno == EAGAIN)) continue;
    ended_ = true;
    if (n < 0) error_ = errno;
  }
  return false;
}

namespace {

// The text in double quotes that begins here, and `at` behind it; nothing where it has no end.
std::optional<std::string_view> QuotedAt(std::string_view line, std::size_t& at) {
  const std::size_t begin = at + 1;
  for (at = begin; at < line.size() && line[at] != '"'; ++at) {
    if (line[at] == '\\') ++at;
  }
  if (at >= line.size()) return std::nullopt;
  return line.substr(begin, at++ - begin);
}

}  // namespace

std::string CaseNamedIn(std::string_view line) {
  int depth = 0;
  bool is_case = false;  // the last text stood there as a key, and was `case`
  for (std::size_t at = 0; at < line.size();) {
    const char c = line[at];
    if (c == '"') {
      const auto text = QuotedAt(line, at);
      if (!text) return "";
      if (is_case) return IsName(*text) ? std::string(*text) : "";
      const std::size_t next = line.find_first_not_of(" \t", at);
      is_case = depth == 1 && *text == "case" && next != std::string_view::npos && line[next] == ':';
      if (is_case) at = next + 1;
      continue;
    }
    if (c != ' ' && c != '\t') is_case = false;
    if (c == '{' || c == '[') ++depth;
    if (c == '}' || c == ']') --depth;
    ++at;
  }
  return "";
}

}  // namespace gearwhy
