// A program run with one of its calls to the kernel made to fail: the n-th of some kind, counted over all its
// threads, from the moment when its `main` begins.
//
// Method: the kernel asks us at each such call (seccomp's user notification, Linux 5.5), and we answer with an
// error or let it pass. Nothing is loaded into the program, so that calls inside the C library are met with
// as well, and it works with sanitizers. That `main` has begun is known by its first act, leaving SIGPIPE
// alone (cli/gearwhy.cc): what fails before that is the loader's.
#pragma once

#include <fcntl.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <poll.h>
#include <sys/ioctl.h>
#include <sys/prctl.h>
#include <sys/socket.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstddef>
#include <cstring>
#include <string>
#include <vector>

#include "tests/support/catch.h"

namespace gearwhy {

struct FailingCalls {
  std::string name;
  std::vector<int> calls;  // their numbers
  int error = 0;           // errno
};

inline std::vector<FailingCalls> AllFailingCalls() {
  return {
      {"open", {__NR_openat}, EMFILE},
      {"read", {__NR_read}, EIO},
      {"write", {__NR_write, __NR_writev}, ENOSPC},
      {"fsync", {__NR_fsync}, EIO},
#ifdef __NR_rename
      {"rename", {__NR_rename, __NR_renameat2}, EIO},
      {"link", {__NR_link, __NR_linkat}, EIO},
      {"link, as where there are none", {__NR_link, __NR_linkat}, EPERM},
      {"unlink", {__NR_unlink, __NR_unlinkat}, EACCES},
      {"chmod", {__NR_chmod, __NR_fchmod, __NR_fchmodat}, EPERM},
#else
      {"rename", {__NR_renameat, __NR_renameat2}, EIO},
      {"link", {__NR_linkat}, EIO},
      {"link, as where there are none", {__NR_linkat}, EPERM},
      {"unlink", {__NR_unlinkat}, EACCES},
      {"chmod", {__NR_fchmod, __NR_fchmodat}, EPERM},
#endif
      {"close", {__NR_close}, EIO},
      {"flock", {__NR_flock}, EIO},
      {"list", {__NR_getdents64}, EIO},
      {"stat", {__NR_newfstatat, __NR_fstat, __NR_statx}, EACCES},
      {"thread", {__NR_clone, __NR_clone3}, EAGAIN},
      {"memory", {__NR_mmap, __NR_brk}, ENOMEM},
  };
}

// What to run: a program with its arguments, in a folder, with files for its standard streams.
struct FailingRun {
  std::vector<std::string> command;
  std::string folder, in, out, err;
};

struct Failed {
  bool reached = false;  // so many calls were made, and the last of them failed
  bool message = false;  // it was one that writes to the standard error
  int status = 0;        // as of waitpid
};

namespace failing {

constexpr int kMarkedSignal = SIGPIPE;

// From now on the kernel asks whoever holds the descriptor returned at each of these calls.
inline int AskAt(const std::vector<int>& calls) {
  std::vector<sock_filter> filter = {
      sock_filter BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, nr))};
  std::vector<int> asked = calls;
  asked.push_back(__NR_rt_sigaction);
  for (const int call : asked) {
    filter.push_back(sock_filter BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, static_cast<unsigned>(call), 0, 1));
    filter.push_back(sock_filter BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_USER_NOTIF));
  }
  filter.push_back(sock_filter BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW));
  const sock_fprog program{static_cast<unsigned short>(filter.size()), filter.data()};
  if (::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0) return -1;
  return static_cast<int>(
      ::syscall(__NR_seccomp, SECCOMP_SET_MODE_FILTER, SECCOMP_FILTER_FLAG_NEW_LISTENER, &program));
}

struct Message {
  alignas(cmsghdr) char control[CMSG_SPACE(sizeof(int))] = {};
  char byte = 'x';
  iovec data{&byte, 1};
  msghdr header{};
  Message() {
    header.msg_iov = &data;
    header.msg_iovlen = 1;
    header.msg_control = control;
    header.msg_controllen = sizeof control;
  }
};

inline bool SendDescriptor(int socket, int descriptor) {
  Message message;
  cmsghdr* const head = CMSG_FIRSTHDR(&message.header);
  head->cmsg_level = SOL_SOCKET;
  head->cmsg_type = SCM_RIGHTS;
  head->cmsg_len = CMSG_LEN(sizeof(int));
  std::memcpy(CMSG_DATA(head), &descriptor, sizeof descriptor);
  return ::sendmsg(socket, &message.header, 0) == 1;
}

// -1: there was none.
inline int ReceiveDescriptor(int socket) {
  Message message;
  if (::recvmsg(socket, &message.header, MSG_CMSG_CLOEXEC) != 1) return -1;
  const cmsghdr* const head = CMSG_FIRSTHDR(&message.header);
  if (head == nullptr || head->cmsg_type != SCM_RIGHTS) return -1;
  int descriptor = -1;
  std::memcpy(&descriptor, CMSG_DATA(head), sizeof descriptor);
  return descriptor;
}

// Answers the kernel until the program has ended. `n` from 1.
inline void AnswerKernel(int listener, int n, int error, Failed& failed) {
  bool begun = false;
  for (int made = 0;;) {
    pollfd ready{listener, POLLIN, 0};
    if (::poll(&ready, 1, -1) < 0 && errno == EINTR) continue;
    if ((ready.revents & POLLIN) == 0) return;  // nobody is left to ask
    seccomp_notif asked{};
    if (::ioctl(listener, SECCOMP_IOCTL_NOTIF_RECV, &asked) != 0) continue;
    seccomp_notif_resp answer{};
    answer.id = asked.id;
    answer.flags = SECCOMP_USER_NOTIF_FLAG_CONTINUE;
    if (asked.data.nr == __NR_rt_sigaction) {
      begun |= asked.data.args[0] == kMarkedSignal;
    } else if (begun && ++made == n) {
      failed.reached = true;
      failed.message = (asked.data.nr == __NR_write || asked.data.nr == __NR_writev) &&
                       asked.data.args[0] == STDERR_FILENO;
      answer.flags = 0;
      answer.error = -error;
    }
    ::ioctl(listener, SECCOMP_IOCTL_NOTIF_SEND, &answer);
  }
}

[[noreturn]] inline void BecomeProgram(const FailingRun& run, const std::vector<int>& calls, int socket) {
  const int in = ::open(run.in.c_str(), O_RDONLY);
  const int out = ::open(run.out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  const int err = ::open(run.err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  if (::dup2(in, 0) < 0 || ::dup2(out, 1) < 0 || ::dup2(err, 2) < 0) ::_exit(97);
  if (::chdir(run.folder.c_str()) != 0) ::_exit(97);
  std::vector<char*> arguments;
  for (const std::string& argument : run.command) arguments.push_back(const_cast<char*>(argument.c_str()));
  arguments.push_back(nullptr);
  const int listener = AskAt(calls);
  if (listener < 0 || !SendDescriptor(socket, listener)) ::_exit(96);
  ::fcntl(listener, F_SETFD, FD_CLOEXEC);
  ::fcntl(socket, F_SETFD, FD_CLOEXEC);
  ::execv(arguments[0], arguments.data());
  ::_exit(98);
}

}  // namespace failing

// Whether this machine lets us do it; else the test says that it is left out.
inline bool KernelAsksUs() {
  const pid_t child = ::fork();
  if (child == 0) ::_exit(failing::AskAt({}) >= 0 ? 0 : 1);
  int status = 0;
  ::waitpid(child, &status, 0);
  if (status == 0) return true;
  WARN("SKIPPED: this system does not let a process be asked about its calls");
  return false;
}

inline Failed RunWithFailure(const FailingRun& run, const FailingCalls& calls, int n) {
  int ends[2];
  REQUIRE(::socketpair(AF_UNIX, SOCK_STREAM, 0, ends) == 0);
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) failing::BecomeProgram(run, calls.calls, ends[1]);
  ::close(ends[1]);
  const int listener = failing::ReceiveDescriptor(ends[0]);
  Failed failed;
  if (listener >= 0) failing::AnswerKernel(listener, n, calls.error, failed);
  ::close(listener);
  ::close(ends[0]);
  REQUIRE(::waitpid(child, &failed.status, 0) == child);
  return failed;
}

}  // namespace gearwhy
