// A program that is running: it is written to, read from and signalled meanwhile.
#pragma once

#include <fcntl.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <string>
#include <vector>

#include "tests/support/catch.h"

namespace gearwhy {

class Running {
 public:
  // With its standard input and output on pipes, its standard error in a file. `ignored`: a signal that it is
  // started to ignore.
  explicit Running(const std::vector<std::string>& command, const std::string& err = "/dev/null",
                   int ignored = 0) {
    int in[2], out[2];
    REQUIRE(::pipe2(in, O_CLOEXEC) == 0);
    REQUIRE(::pipe2(out, O_CLOEXEC) == 0);
    child_ = ::fork();
    REQUIRE(child_ >= 0);
    if (child_ == 0) Become(command, in[0], out[1], err, ignored);
    ::close(in[0]);
    ::close(out[1]);
    in_ = in[1];
    out_ = out[0];
  }
  ~Running() {
    CloseInput();
    ::close(out_);
    if (child_ > 0) {
      ::kill(child_, SIGKILL);
      ::waitpid(child_, nullptr, 0);
    }
  }
  Running(const Running&) = delete;
  Running& operator=(const Running&) = delete;

  void Write(const std::string& text) {
    for (std::size_t at = 0; at < text.size();) {
      const ssize_t n = ::write(in_, text.data() + at, text.size() - at);
      REQUIRE(n > 0);
      at += static_cast<std::size_t>(n);
    }
  }
  void CloseInput() {
    if (in_ >= 0) ::close(in_);
    in_ = -1;
  }
  // All that it has written, once that holds so many ends of lines.
  const std::string& ReadLines(std::size_t lines) {
    while (Lines() < lines) {
      INFO(read_);
      REQUIRE(ReadSome());
    }
    return read_;
  }
  // All that it writes until it closes its output.
  const std::string& ReadToEnd() {
    while (ReadSome()) {
    }
    return read_;
  }
  bool HasSomethingToRead() {
    pollfd ready{out_, POLLIN, 0};
    return ::poll(&ready, 1, 30'000) > 0;
  }
  void Signal(int signal) { REQUIRE(::kill(child_, signal) == 0); }
  // Its exit code, or 1000 and the signal that has ended it.
  int End() {
    int status = 0;
    REQUIRE(::waitpid(child_, &status, 0) == child_);
    child_ = -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status);
  }

 private:
  [[noreturn]] static void Become(const std::vector<std::string>& command, int in, int out,
                                  const std::string& err, int ignored) {
    const int err_file = ::open(err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0666);
    ::dup2(in, STDIN_FILENO);
    ::dup2(out, STDOUT_FILENO);
    ::dup2(err_file, STDERR_FILENO);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) std::signal(signal, SIG_DFL);
    if (ignored != 0) std::signal(ignored, SIG_IGN);
    std::vector<char*> argv;
    for (const std::string& word : command) argv.push_back(const_cast<char*>(word.c_str()));
    argv.push_back(nullptr);
    ::execv(argv[0], argv.data());
    ::_exit(98);
  }
  std::size_t Lines() const { return static_cast<std::size_t>(std::count(read_.begin(), read_.end(), '\n')); }
  // False when nothing more comes.
  bool ReadSome() {
    if (!HasSomethingToRead()) return false;
    char bytes[4096];
    const ssize_t n = ::read(out_, bytes, sizeof bytes);
    if (n > 0) read_.append(bytes, static_cast<std::size_t>(n));
    return n > 0;
  }

  pid_t child_ = -1;
  int in_ = -1, out_ = -1;
  std::string read_;
};

}  // namespace gearwhy
