// The interview on a real terminal: a person types, presses Ctrl-C, closes the terminal, comes back, and
// nothing is lost.
#include <fmt/format.h>
#include <poll.h>
#include <pty.h>
#include <sys/wait.h>
#include <termios.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

// Of two books the one that begins with a measurement.
constexpr const char* kMeasuringBook = GEARWHY_SOURCE_DIR "/tests/cli/golden/ask-measure/book";
constexpr const char* kBook = GEARWHY_SOURCE_DIR "/tests/cli/golden/ask-new/book";

// The program on a terminal of its own.
class Terminal {
 public:
  Terminal(const fs::path& folder, const std::string& term, const std::vector<std::string>& arguments,
           unsigned short columns = 80) {
    const winsize size{24, columns, 0, 0};
    child_ = ::forkpty(&fd_, nullptr, nullptr, &size);
    REQUIRE(child_ >= 0);
    if (child_ == 0) {
      ::setenv("TERM", term.c_str(), 1);
      ::setenv("LC_ALL", "C.UTF-8", 1);
      ::unsetenv("NO_COLOR");
      if (::chdir(folder.c_str()) != 0) ::_exit(99);
      std::vector<char*> argv = {const_cast<char*>(GEARWHY_PROGRAM), const_cast<char*>("ask")};
      for (const std::string& argument : arguments) argv.push_back(const_cast<char*>(argument.c_str()));
      argv.push_back(nullptr);
      ::execv(GEARWHY_PROGRAM, argv.data());
      ::_exit(98);
    }
  }
  ~Terminal() {
    if (fd_ >= 0) ::close(fd_);
    if (child_ > 0) {
      ::kill(child_, SIGKILL);
      ::waitpid(child_, nullptr, 0);
    }
  }
  Terminal(const Terminal&) = delete;
  Terminal& operator=(const Terminal&) = delete;

  // Reads until the text has come since the last call.
  void WaitFor(const std::string& wanted) {
    const auto deadline = std::chrono::steady_clock::now() + std::chrono::seconds(30);
    std::size_t found;
    while ((found = seen_.find(wanted)) == std::string::npos) {
      INFO("waiting for `" << wanted << "`, seen: " << seen_);
      REQUIRE(std::chrono::steady_clock::now() < deadline);
      REQUIRE(ReadSome());
    }
    seen_.erase(0, found + wanted.size());
  }
  // Until the line editor has taken the terminal over: before that, the terminal itself would swallow the end
  // key.
  void WaitUntilKeysAreRead() {
    const auto deadline = std::chrono::steady_clock::now() + std::chrono::seconds(30);
    termios settings{};
    do {
      REQUIRE(std::chrono::steady_clock::now() < deadline);
      ::usleep(1000);
      REQUIRE(::tcgetattr(fd_, &settings) == 0);
    } while ((settings.c_lflag & ICANON) != 0);
  }
  void Type(const std::string& keys) {
    REQUIRE(::write(fd_, keys.data(), keys.size()) == static_cast<ssize_t>(keys.size()));
  }
  void Hang() {
    ::close(fd_);
    fd_ = -1;
  }
  // The exit code, once it has ended by itself.
  int End() {
    while (fd_ >= 0 && ReadSome()) {
    }
    int status = 0;
    REQUIRE(::waitpid(child_, &status, 0) == child_);
    child_ = -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status);
  }
  const std::string& all() const { return all_; }

 private:
  bool ReadSome() {
    pollfd ready{fd_, POLLIN, 0};
    if (::poll(&ready, 1, 30'000) <= 0) return false;
    char bytes[4096];
    const ssize_t n = ::read(fd_, bytes, sizeof bytes);
    if (n <= 0) return false;
    seen_.append(bytes, static_cast<std::size_t>(n));
    all_.append(bytes, static_cast<std::size_t>(n));
    return true;
  }

  int fd_ = -1;
  pid_t child_ = -1;
  std::string seen_, all_;
};

void BeginCase(Terminal& terminal) {
  terminal.WaitFor("list.");
  terminal.Type(
      "no lihgt in the attic\x7f\x7f\x7f\x7f\x7f"
      "attic\r");
  terminal.WaitFor("2 None of these");
  terminal.Type("1\r");
  terminal.WaitFor("another complaint");
  terminal.Type("\r");
  terminal.WaitFor("What shall the case be called?");
  terminal.Type("l\xC3\xA4mp\r");
  terminal.WaitFor("only, please");
  terminal.Type("lamp\r");
  terminal.WaitFor("history");
  terminal.Type("1\r");
  terminal.WaitFor("Switching the light of the hall on");
  terminal.WaitFor("3 Don't know");
}

TEST_CASE(
    "at a terminal: Ctrl-C ends with 130, and what was answered is there when the case is taken up again") {
  for (const std::string term : {"xterm", "dumb"}) {
    INFO(term);
    const TemporaryFolder folder;
    {
      Terminal terminal(folder.path(), term, {"--rules", kBook});
      BeginCase(terminal);
      terminal.Type("2\r");
      terminal.WaitFor("Switching the light of the attic on");
      terminal.WaitFor("> ");
      terminal.Type("22");
      terminal.WaitFor("22");
      terminal.Type("\x03");
      CHECK(terminal.End() == 130);
      // Colour is for terminals that can show it.
      CHECK((terminal.all().find("\x1b[1m") != std::string::npos) == (term == "xterm"));
    }
    const std::string first =
        "case: lamp\ntitle: \"No lihgt in the attic\"\nhistory:\n  - house_is_old\ncomplaint:\n  - present: "
        "{dark: attic}\n    trust: customer\n"
        "observed:\n  - absent: {dark: hall}\n";
    CHECK(ReadAll(folder.path() / "lamp.yaml") == first);
    Terminal terminal(folder.path(), term, {"lamp.yaml", "--rules", kBook});
    terminal.WaitFor("Switching the light of the attic on");
    terminal.WaitFor("> ");
    terminal.Type("later\r");
    terminal.WaitFor("Measuring the socket in the attic");
    terminal.WaitFor("> ");
    terminal.Type("later\r");
    terminal.WaitFor("Looking at the bulb in the attic");
    terminal.WaitFor("> ");
    terminal.Type("none\r");
    terminal.WaitFor("in 100");
    terminal.WaitFor("> ");
    terminal.Type("\x1b[A\x1b[A\x1b[A\r");  // three lines up: nothing but these two answers stands there
    terminal.WaitFor("> ");
    terminal.Type("leave\r");
    CHECK(terminal.End() == 0);
    CHECK(ReadAll(folder.path() / "lamp.yaml") == first +
                                                      "  - absent: {thread_seen_broken: attic}\n  - absent: "
                                                      "{glass_seen_black: attic}\nopen: [cover_off]\n");
    CHECK(std::distance(fs::directory_iterator(folder.path()), fs::directory_iterator()) == 1);
  }
}

TEST_CASE(
    "at a narrow terminal no line of the program's own is wider than it, and at a wide one none is wider "
    "than 100") {
  for (const auto& [columns, most] : {std::pair<unsigned short, std::size_t>{52, 52}, {200, 100}}) {
    INFO(columns);
    const TemporaryFolder folder;
    Terminal terminal(folder.path(), "dumb", {"--rules", kBook}, columns);
    BeginCase(terminal);
    terminal.Type("ranking\r");
    terminal.WaitFor("suspects now");
    terminal.WaitFor("> ");
    terminal.Type("leave\r");
    CHECK(terminal.End() == 0);
    std::istringstream lines(terminal.all());
    std::size_t widest = 0;
    for (std::string line; std::getline(lines, line);) {
      while (!line.empty() && line.back() == '\r') line.pop_back();
      if (line.starts_with("  gearwhy ask ")) continue;  // a command is whole, or it could not be copied
      if (line.starts_with("> ") || line.find('\r') != std::string::npos) continue;  // being typed
      INFO(line);
      CHECK(line.size() <= most);
      widest = std::max(widest, line.size());
    }
    CHECK(widest > most * 3 / 4);
  }
}

TEST_CASE("at a terminal: a case that is taken back to before it had a name leaves no file") {
  const TemporaryFolder folder;
  Terminal terminal(folder.path(), "dumb", {"--rules", kBook});
  BeginCase(terminal);
  CHECK(fs::exists(folder.path() / "lamp.yaml"));
  terminal.Type("back\r");
  terminal.WaitFor("history");
  terminal.WaitFor("> ");
  terminal.Type("back\r");
  terminal.WaitFor("What shall the case be called?");
  CHECK_FALSE(fs::exists(folder.path() / "lamp.yaml"));
  terminal.WaitFor("> ");
  terminal.Type("other\r");
  terminal.WaitFor("history");
  CHECK(fs::exists(folder.path() / "other.yaml"));
  CHECK_FALSE(fs::exists(folder.path() / "lamp.yaml"));
  terminal.WaitFor("> ");
  terminal.Type("leave\r");
  terminal.WaitFor("Saved in other.yaml");
  CHECK(terminal.End() == 0);
}

// How many lines have come since the text, with the one on which it stands.
int LinesSince(const std::string& all, const std::string& text) {
  const std::size_t at = all.rfind(text);
  REQUIRE(at != std::string::npos);
  return static_cast<int>(std::count(all.begin() + static_cast<std::ptrdiff_t>(at), all.end(), '\n')) + 1;
}

TEST_CASE("at a terminal of 24 lines: the question stands whole on the last screen, whatever came before") {
  const TemporaryFolder folder;
  fs::copy(GEARWHY_SOURCE_DIR "/cases/no-reverse-when-hot.yaml", folder.path() / "no-reverse-when-hot.yaml");
  Terminal terminal(folder.path(), "dumb", {"no-reverse-when-hot.yaml"});
  // Where it stands and what can hurt is longer than the screen.
  terminal.WaitFor("Enter to read on > ");
  CHECK(LinesSince(terminal.all(), "The suspects now") <= 24);
  terminal.Type("\r");
  terminal.WaitFor("Take the unit out?");
  terminal.WaitFor("leave");
  terminal.WaitFor("> ");
  CHECK(LinesSince(terminal.all(), "Enter to read on") <= 24 + 1);  // what follows that line is the screen
  // The word is typed below the question, and the page comes back to it.
  terminal.Type("reason 1\r");
  terminal.WaitFor("Why the rubber lip");
  for (int pages = 0;; ++pages) {
    REQUIRE(pages < 10);
    terminal.WaitFor("> ");
    if (terminal.all().ends_with("Enter to read on > ")) {
      terminal.Type("\r");
      continue;
    }
    break;
  }
  CHECK(LinesSince(terminal.all(), "Take the unit out?") <= 24);
  CHECK(terminal.all().rfind("Take the unit out?") > terminal.all().rfind("Why the rubber lip"));
  // What is typed instead of reading on is the answer.
  terminal.Type("reason 1\r");
  terminal.WaitFor("Enter to read on > ");
  terminal.Type("leave\r");
  terminal.WaitFor("Saved in no-reverse-when-hot.yaml");
  CHECK(terminal.End() == 0);
}

TEST_CASE("at a terminal that goes away: the case is whole") {
  const TemporaryFolder folder;
  Terminal terminal(folder.path(), "xterm", {"--rules", kBook});
  BeginCase(terminal);
  terminal.Type("1\r");
  terminal.WaitFor("Measuring the socket");
  terminal.Hang();
  CHECK(terminal.End() == 128 + SIGHUP);
  CHECK(ReadAll(folder.path() / "lamp.yaml").ends_with("observed:\n  - present: {dark: hall}\n"));
}

TEST_CASE("at a terminal: the end key saves and leaves") {
  const TemporaryFolder folder;
  Terminal terminal(folder.path(), "xterm", {"--rules", kBook});
  BeginCase(terminal);
  terminal.WaitUntilKeysAreRead();
  terminal.Type("\x04");
  terminal.WaitFor("Saved in lamp.yaml");
  CHECK(terminal.End() == 0);
}

TEST_CASE("on a full disk the answer is kept, and saved when there is room") {
  const TemporaryFolder folder;
  std::ofstream(folder.path() / "lamp.yaml")
      << "case: lamp\ntitle: Dark\ncomplaint:\n  - present: {dark: attic}\n# " << std::string(5000, 'x')
      << "\n";
  std::ofstream(folder.path() / "answers") << "2\n1\n2\n9\n";
  // The limit on the size of files stands for the full disk; SIGXFSZ is ignored as it would not come from
  // one.
  const std::string command = fmt::format(
      "cd '{}' && (trap '' XFSZ; ulimit -f 4; exec '{}' ask lamp.yaml --rules '{}' <answers | cat >out)",
      folder.path().string(), GEARWHY_PROGRAM, kBook);
  std::ofstream(folder.path() / "before") << ReadAll(folder.path() / "lamp.yaml");
  CHECK(std::system(command.c_str()) == 0);
  const std::string out = ReadAll(folder.path() / "out");
  INFO(out);
  CHECK(out.find("`lamp.yaml` cannot be written: File too large.") != std::string::npos);
  CHECK(out.find("The last answers are not saved.") != std::string::npos);
  CHECK(ReadAll(folder.path() / "lamp.yaml") == ReadAll(folder.path() / "before"));
}

TEST_CASE("what another hand has changed meanwhile is taken in, and the answer put in with it") {
  const TemporaryFolder folder;
  std::ofstream(folder.path() / "lamp.yaml")
      << "case: lamp\ntitle: Dark\ncomplaint:\n  - present: {dark: attic}\n";
  Terminal terminal(folder.path(), "dumb", {"lamp.yaml", "--rules", kMeasuringBook});
  terminal.WaitFor("Measuring the socket in the hall");
  terminal.WaitFor("> ");
  std::ofstream(folder.path() / "lamp.yaml")
      << "case: lamp\ntitle: Dark, they say\nhistory:\n  - house_is_old  # since 1900\ncomplaint:\n  - "
         "present: {dark: attic}\n";
  terminal.Type("2 V\r");
  terminal.WaitFor("was changed by another hand meanwhile");
  terminal.WaitFor("Looking at the fuse");
  terminal.Type("back\r");  // an answer from before the other hand's change could only be taken back with it
  terminal.WaitFor("Nothing of this session is left to take back");
  terminal.Type("leave\r");
  CHECK(terminal.End() == 0);
  CHECK(ReadAll(folder.path() / "lamp.yaml") ==
        "case: lamp\ntitle: Dark, they say\nhistory:\n  - house_is_old  # since 1900\nmeasured:\n  - supply: "
        "{room: "
        "hall, is: 2 V}\ncomplaint:\n  - present: {dark: attic}\n");
}

TEST_CASE("an answer whose contrary another hand has given is kept in a file beside it") {
  const TemporaryFolder folder;
  const std::string begun = "case: \"lamp\"\ntitle: Dark\ncomplaint:\n  - present: {dark: attic}\n";
  std::ofstream(folder.path() / "lamp.yaml") << begun;
  std::ofstream(folder.path() / "lamp-2.yaml") << "taken";
  Terminal terminal(folder.path(), "dumb", {"lamp.yaml", "--rules", kMeasuringBook});
  terminal.WaitFor("Measuring the socket in the hall");
  terminal.WaitFor("> ");
  const std::string theirs = begun + "measured:\n  - supply: {room: hall, is: 230 V}\n";
  std::ofstream(folder.path() / "lamp.yaml") << theirs;
  terminal.Type("2 V\r");
  terminal.WaitFor("`lamp-3.yaml` from now on");
  terminal.WaitFor("> ");
  terminal.Type("leave\r");
  terminal.WaitFor("Saved in lamp-3.yaml");
  CHECK(terminal.End() == 0);
  CHECK(ReadAll(folder.path() / "lamp.yaml") == theirs);
  CHECK(ReadAll(folder.path() / "lamp-2.yaml") == "taken");
  CHECK(ReadAll(folder.path() / "lamp-3.yaml") ==
        "case: lamp-3\ntitle: Dark\nmeasured:\n  - supply: {room: hall, is: 2 V}\ncomplaint:\n  - present: "
        "{dark: "
        "attic}\n");
}

}  // namespace
}  // namespace gearwhy
