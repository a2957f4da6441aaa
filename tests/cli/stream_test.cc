// `gearwhy rank -`: an input that breaks off must not look like one that is complete.
#include <fmt/format.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <string>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

constexpr const char* kBook = GEARWHY_SOURCE_DIR "/tests/cli/golden/fever-rank/book";
constexpr const char* kBrokenOff =
    "error: the input broke off: {}; the lines before were answered, what follows is missing "
    "[input-broken-off]\n";

// Runs `gearwhy rank -` on a socket whose other end writes `input` and then, where it `breaks`, is closed in
// a way that makes the next reading fail: with a byte in it that it has never read.
struct Streamed {
  std::string out, err;
  int exit_code = 0;
};
Streamed RankStream(const std::string& input, bool breaks) {
  const TemporaryFolder folder;
  int ends[2];
  REQUIRE(::socketpair(AF_UNIX, SOCK_STREAM, 0, ends) == 0);
  REQUIRE(::write(ends[1], input.data(), input.size()) == static_cast<ssize_t>(input.size()));
  if (breaks) REQUIRE(::write(ends[0], "x", 1) == 1);
  ::close(ends[1]);
  const std::string command = fmt::format("'{}' rank - --rules '{}' --format jsonl >'{}' 2>'{}'",
                                          GEARWHY_PROGRAM, kBook, folder.Path("out"), folder.Path("err"));
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    ::dup2(ends[0], STDIN_FILENO);
    ::close(ends[0]);
    ::execl("/bin/sh", "sh", "-c", command.c_str(), nullptr);
    ::_exit(98);
  }
  ::close(ends[0]);
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  return {ReadAll(folder.path() / "out"), ReadAll(folder.path() / "err"), WEXITSTATUS(status)};
}

const std::string kOne = "{\"case\": \"one\", \"title\": \"T\", \"complaint\": [{\"present\": \"fever\"}]}\n";
const std::string kTwo = "{\"case\": \"two\", \"title\": \"T\", \"complaint\": [{\"present\": \"fever\"}]}";

std::size_t Lines(const std::string& text) {
  return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

TEST_CASE("an input that breaks off is an error, after its whole lines were answered") {
  const Streamed streamed = RankStream(kOne, true);
  CHECK(streamed.exit_code == 1);
  CHECK(streamed.err == fmt::format(fmt::runtime(kBrokenOff), "Connection reset by peer"));
  CHECK(Lines(streamed.out) == 1);
  CHECK(streamed.out.find("\"case\":\"one\"") != std::string::npos);
}

TEST_CASE("half a line is not answered, not even one that could be read") {
  const Streamed streamed = RankStream(kOne + kTwo, true);
  CHECK(streamed.exit_code == 1);
  CHECK(streamed.err == fmt::format(fmt::runtime(kBrokenOff), "Connection reset by peer"));
  CHECK(Lines(streamed.out) == 1);
}

TEST_CASE("an input that ends is complete, with or without an end of its last line") {
  const Streamed streamed = RankStream(kOne + kTwo, false);
  CHECK(streamed.exit_code == 0);
  CHECK(streamed.err.empty());
  CHECK(Lines(streamed.out) == 2);
}

// Through a pipe: the sockets of the others hold no line as long as these.
Ran RankLines(const std::string& lines) {
  const TemporaryFolder folder;
  folder.Write("lines", lines);
  return RunCommand("cat '" + folder.Path("lines") + "' | '" GEARWHY_PROGRAM "' rank - --rules '" +
                    std::string(kBook) + "' --format jsonl 2>/dev/null");
}

std::string Titled(const std::string& title, const std::string& more = "") {
  return "{\"case\": \"one\", \"title\": \"" + title + "\"" + more +
         ", \"complaint\": [{\"present\": \"fever\"}]}\n";
}

TEST_CASE("a line is as long as a case may be, and no longer") {
  const std::string note(60'000, 'n');
  const Ran whole = RankLines(Titled("T", ", \"note\": \"" + note + "\""));
  CHECK(whole.exit_code == 0);
  CHECK(Lines(whole.out) == 1);
  CHECK(whole.out.find("errors") == std::string::npos);
  const Ran beyond = RankLines(Titled(std::string(3'000'000, 't')) + kOne);
  CHECK(beyond.exit_code == 1);
  CHECK(Lines(beyond.out) == 2);
  CHECK(beyond.out.find("line 1 of the input is larger than 1 MiB") != std::string::npos);
  CHECK(beyond.out.find("{\"case\":\"one\",\"title\":\"T\"") != std::string::npos);
}

TEST_CASE("a character beyond the first plane is read as JSON writes it") {
  const Ran ran = RankLines(Titled("\\ud83d\\ude00"));
  CHECK(ran.exit_code == 0);
  CHECK(ran.out.find("\xF0\x9F\x98\x80") != std::string::npos);
}

TEST_CASE("an input that cannot be read at all is an error") {
  const Ran ran =
      RunCommand(fmt::format("'{}' rank - --rules '{}' --format json 2>&1 </", GEARWHY_PROGRAM, kBook));
  CHECK(ran.exit_code == 1);
  CHECK(ran.out.find(fmt::format(fmt::runtime(kBrokenOff), "Is a directory")) != std::string::npos);
}

}  // namespace
}  // namespace gearwhy
