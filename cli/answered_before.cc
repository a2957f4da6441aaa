#include "cli/answered_before.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <string_view>

#include "cli/terminal.h"
#include "engine/render/json_answers.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

// A file that is closed when this goes, unless it has become the standard output, as it does where that was
// closed.
struct Descriptor {
  int number = -1;
  ~Descriptor() {
    if (number >= 0 && number != STDOUT_FILENO) ::close(number);
  }
};

// How a line begins that was to become an answer.
bool BeginsAnAnswer(std::string_view line) {
  constexpr std::string_view kBegin = "{\"case\":";
  return line.substr(0, kBegin.size()) == kBegin.substr(0, line.size());
}

// Why the file cannot be taken; empty: it can.
std::string WhyNot(int file) {
  struct stat about {};
  if (::fstat(file, &about) != 0) return std::strerror(errno);
  if (!S_ISREG(about.st_mode)) return "it is no file that can be read again";
  if (::flock(file, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) return "another run is writing it";
  return "";
}

}  // namespace

std::string AnsweredBefore::Read(std::FILE* file, off_t& whole, int& lines) {
  char* line = nullptr;
  std::size_t room = 0;
  std::string wrong;
  for (ssize_t n; wrong.empty() && (n = ::getline(&line, &room, file)) > 0;) {
    const std::string_view text(line, static_cast<std::size_t>(n));
    const bool is_whole = text.back() == '\n';
    const auto answer = is_whole ? ReadAnswer(text) : std::nullopt;
    if (answer) {
      Count& count = answers_[answer->made_from];
      ++(answer->good ? count.good : count.failed);
      whole += n;
      ++lines;
    } else if (is_whole || !BeginsAnAnswer(text)) {
      wrong = fmt::format(
          "line {} is no answer of `gearwhy rank --format jsonl`; name a file of those, or a new one",
          lines + 1);
    }
  }
  if (std::ferror(file) != 0) wrong = std::strerror(errno);
  std::free(line);
  return wrong;
}

std::unique_ptr<AnsweredBefore> AnsweredBefore::Open(const std::string& path) {
  const auto fail = [&](const std::string& why) {
    WriteErr(fmt::format("error: {} cannot be gone on with: {} [resume]\n", InTicks(path, 200), why));
    return nullptr;
  };
  const Descriptor file{::open(path.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0666)};
  if (file.number < 0) return fail(std::strerror(errno));
  if (const std::string why = WhyNot(file.number); !why.empty()) return fail(why);
  std::unique_ptr<std::FILE, int (*)(std::FILE*)> reading(::fdopen(::dup(file.number), "r"), std::fclose);
  if (reading == nullptr) return fail(std::strerror(errno));
  std::unique_ptr<AnsweredBefore> before(new AnsweredBefore);
  off_t whole = 0;
  int lines = 0;
  if (const std::string wrong = before->Read(reading.get(), whole, lines); !wrong.empty()) return fail(wrong);
  if (::lseek(file.number, 0, SEEK_END) != whole) {
    if (::ftruncate(file.number, whole) != 0) return fail(std::strerror(errno));
    WriteErr(
        fmt::format("{}:{}: warning: this last line was cut short; it is taken off, and its case done "
                    "again [cut-short]\n",
                    SafeLine(path), lines + 1));
  }
  if (::dup2(file.number, STDOUT_FILENO) < 0) return fail(std::strerror(errno));
  return before;
}

std::optional<bool> AnsweredBefore::Take(const std::string& made_from) {
  const std::lock_guard lock(taking_);
  const auto it = answers_.find(made_from);
  if (it == answers_.end()) return std::nullopt;
  Count& count = it->second;
  const bool good = count.good > 0;
  if (--(good ? count.good : count.failed); count.good + count.failed == 0) answers_.erase(it);
  return good;
}

}  // namespace gearwhy
